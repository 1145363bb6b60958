// Calls as pages: call.mjs PROGRAM DEMO-TABLES. Odds and order are those of the command line.
import { check, openDesk, words } from './wire.mjs';

const [program, tables] = process.argv.slice(2);
const desk = await openDesk(program, tables);
const heaters = new Map([...(await desk.get('/houses')).text.matchAll(/\/heater\?id=(\d+)[^>]*>([^<]+)</g)].map((m) => [m[2], m[1]]));
const electric = 'Orchard Bend 10', gas = 'Orchard Bend 4';
const show = (id) => JSON.parse(desk.run('call', 'show', String(id), '--json').split('\n')[0]);
const field = (html, name) => html.match(new RegExp(`id="${name}"[^>]*`))?.[0] ?? '';

// ---- taken down
let page = await desk.get('/call/new');
const at = (s) => page.text.indexOf(s);
check(page.code === 200 && at('value="gas_smell"') > 0 && at('value="gas_smell"') < at('id="heater"') && at('id="heater"') < at('value="runs_out"'), 'dangers stand first, before the heater is asked for', '');
check(words(page.text).includes('Call the gas company or the fire service from outside'), 'and what to say at once', '');
page = await desk.get(`/call/new?heater=${heaters.get(electric)}`);
check(words(page.text).includes(`About ${electric}`) && !page.text.includes('value="pilot_out"') && page.text.includes('value="trips"'), 'from the page of a heater, only what its fuel can do is offered', '');
let answer = await desk.post('/call/new', { heater: electric, words: 'One <b>short</b> shower' });
check(answer.code === 422 && words(answer.text).includes('at least one complaint') && answer.text.includes('value="One &lt;b&gt;short&lt;/b&gt; shower"'), 'a call without a complaint is asked for one; what was typed stays', answer.text);
answer = await desk.post('/call/new', { heater: 'Orchard', words: 'x', complaint: ['runs_out', 'slow_recovery'] });
check(answer.code === 404 || answer.code === 422, 'a heater that is not there is refused', answer.code);
check(/id="wrong-heater"/.test(answer.text) && words(answer.text).includes('Orchard Bend') && answer.text.match(/value="runs_out" checked/), 'with names that come close, the complaints still ticked', answer.text);
answer = await desk.post('/call/new', { heater: electric, words: 'x', complaint: 'pilot_out' });
check(answer.code === 422 && words(answer.text).includes('belongs to gas heaters'), 'no pilot in an electric heater', answer.text);
answer = await desk.post('/call/new', { heater: electric, words: 'One short shower, then cold', complaint: ['runs_out', 'slow_recovery'], no: 'noise', known: 'not_cleaned' });
check(answer.code === 303 && /\/call\?id=1/.test(answer.headers.location), 'a call is taken down', answer.headers.location);

// ---- worked
page = await desk.get('/call?id=1');
let said = words(page.text);
let json = show(1);
check(page.code === 200 && said.includes('Asked, no Pops'), 'what was said and denied stands there', said);
const percent = (p) => (p > 0.995 ? 'over 99' : p < 0.01 ? 'under 1' : String(Math.round(100 * p)));
const odds = (html) => [...html.matchAll(/<tr><th scope="row">([^<]*)<\/th><td class="n">([^<]*)&nbsp;in&nbsp;100/g)].map((m) => [m[0], m[1], m[2].replaceAll('&nbsp;', ' ')]).map((m) => m[2]);
check(json.faults.slice(0, 3).every((f, i) => odds(page.text)[i] === percent(f.probability)), 'odds are those of the command line', odds(page.text).join());
check(page.text.includes(`name="test" value="${json.next.test}"`), 'the form asks for the reading that comes next', json.next.test);
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'litres_to_40', value: '13', unit: 'gal' });
check(answer.code === 303, 'a reading is entered: a number and its unit apart', answer.text);
json = show(1);
check(json.moved[0]?.test === 'litres_to_40', 'it is in the book', JSON.stringify(json.moved));
said = words((await desk.get('/call?id=1')).text);
check(said.includes('What each reading did') && said.includes('times likelier'), 'and the page says what it did', said);
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'tap_hot', value: '400', unit: 'f' });
check(answer.code === 422 && /id="wrong-value"/.test(answer.text) && field(answer.text, 'value').includes('value="400"') && words(answer.text).includes('33.8 to 210.2 F'), 'water of 400 F: the message beside the field, what was typed kept', answer.text);
check(/name="test" value="tap_hot"/.test(answer.text), 'and still for the reading that was meant', '');
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'tap_hot', value: '50 V', unit: 'f' });
check(answer.code === 422 && words(answer.text).includes('does not fit'), 'volts for warmth are refused', words(answer.text).slice(0, 300));
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'mV_open', value: '20', unit: 'mv' });
check(answer.code === 422 && words(answer.text).includes('gas heaters'), 'a gas reading on an electric heater is refused', words(answer.text).slice(0, 300));
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'limit', value: '' });
check(answer.code === 422 && words(answer.text).includes('say what it shows'), 'nothing is no reading', answer.code);
page = await desk.get('/call?id=1&test=limit');
check(page.text.includes('type="radio" name="value" value="reset_holds"'), 'a reading in words is picked, not typed', '');
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'ohm_lower', value: 'OL', unit: 'ohm' });
check(answer.code === 303, 'a meter that shows nothing is a reading', answer.text);
const before = show(1).faults[0].probability;
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'ohm_lower', value: '12.9', unit: 'ohm' });
said = words((await desk.get('/call?id=1')).text);
check(said.includes('contradict each other; both are kept'), 'two readings that contradict are named', said);
answer = await desk.post('/call?id=1', { id: 1, do: 'undo' });
check(answer.code === 303 && Math.abs(show(1).faults[0].probability - before) < 1e-9, 'the newest entry is taken back', answer.text);
answer = await desk.post('/call?id=1', { id: 1, do: 'say', complaint: 'noise', how: 'says' });
check(answer.code === 303, 'the tenant may say more', answer.text);
page = await desk.get('/call/visit?id=1');
said = words(page.text);
check(page.code === 200 && said.indexOf('Before anything is touched') < said.indexOf('What may have to be mended') && said.includes('Afterwards check') && /ohm|element/.test(said), 'it ends as a visit: cautions, order, mending, what to check', said.slice(0, 200));

// ---- danger
answer = await desk.post('/call/new', { heater: gas, words: 'It smells of gas', complaint: 'gas_smell' });
page = await desk.get('/call?id=2');
said = words(page.text);
check(said.includes('Leave the house') && said.includes('no flame'), 'danger is said', said);
check(!/in 100|What to bring|Next reading/.test(said), 'and nothing else', said);
page = await desk.get('/call/visit?id=2');
check(!/in 100|Reading 1/.test(words(page.text)), 'there is no visit into danger', words(page.text));
page = await desk.get('/calls');
said = words(page.text);
const open = desk.run('call', 'today', '--json').trim().split('\n').map((l) => JSON.parse(l));
check(open.map((c) => c.heater).join() === `${gas},${electric}` && said.indexOf(`1. ${gas}`) > 0 && said.indexOf(`1. ${gas}`) < said.indexOf(`2. ${electric}`), 'the order of the day is that of the command line', said);
check(said.includes('Tell the tenant') && said.includes('Waiting costs about'), 'with words for the tenant and what waiting costs', said);
answer = await desk.post('/call?id=2', { id: 2, do: 'safe', who: '' });
check(answer.code === 422 && /id="wrong-who"/.test(answer.text), 'somebody must have seen to it', answer.code);
answer = await desk.post('/call?id=2', { id: 2, do: 'safe', who: 'gas company, 14:20' });
check(answer.code === 303 && words((await desk.get('/call?id=2')).text).includes('What it may be'), 'then the search goes on', answer.code);

answer = await desk.post('/call?id=2', { id: 2, do: 'told', told: '' });
check(answer.code === 422 && /id="wrong-told"/.test(answer.text), 'nothing said is not kept', answer.code);
answer = await desk.post('/call?id=2', { id: 2, do: 'told', told: 'I come at four' });
check(/Told at \d{4}-\d\d-\d\d \d\d:\d\d I come at four/.test(words((await desk.get('/call?id=2')).text)), 'what the tenant was told is kept with its time', '');

// ---- closed
answer = await desk.post('/call?id=1', { id: 1, do: 'close' });
check(answer.code === 422 && words(answer.text).includes('what was found'), 'a call is closed with what was found', answer.text);
answer = await desk.post('/call?id=1', { id: 1, do: 'close', found: ['lower_open', 'bed_buries_lower'], more: 'lower_open' });
check(answer.code === 303 && show(1).found.join() === 'lower_open,bed_buries_lower', 'two faults may have been found, each counted once', JSON.stringify(show(1).found));
page = await desk.get('/call?id=1');
check(words(page.text).includes('closed') && !page.text.includes('value="read"'), 'a closed call takes nothing more', '');
answer = await desk.post('/call?id=1', { id: 1, do: 'read', test: 'tap_hot', value: '120', unit: 'f' }, '/call/new');
check(answer.code === 422 && words(answer.text).includes('this call is closed'), 'and says so', words(answer.text).slice(0, 300));
check(words((await desk.get('/calls')).text).includes('Closed calls'), 'it stands among the closed ones', '');
for (const path of ['/call?id=77', '/call?id=x', '/call', '/call/visit?id=77', '/call/visit']) {
    answer = await desk.get(path);
    check(answer.code === 404 && answer.text.includes('<main'), `${path} says that there is no such call`, answer.code);
}
answer = await desk.post('/call?id=2', { id: 2, do: 'nothing' });
check(answer.code === 422 || answer.code === 404, 'a form that asks for nothing known is refused', answer.code);
await desk.close();
