// Methods, plan, entry and proof of a visit as pages: visit.mjs PROGRAM DEMO-TABLES. Figures are those of the command line.
import { check, openDesk, words } from './wire.mjs';

const [program, tables] = process.argv.slice(2);
const desk = await openDesk(program, tables);
const heaters = new Map([...(await desk.get('/houses')).text.matchAll(/\/heater\?id=(\d+)[^>]*>([^<]+)</g)].map((m) => [m[2], m[1]]));
const electric = 'Orchard Bend 10', gas = 'Orchard Bend 4';
const e = heaters.get(electric), g = heaters.get(gas);
check(e && g, 'the demo has both heaters', [...heaters.keys()].join(', '));

// ---- methods compared
const json = (...args) => JSON.parse(desk.run(...args, '--json').split('\n')[0]);
const lb = (kg) => kg / 0.45359237;
const clean = json('clean', '--heater', electric);
let page = await desk.get(`/clean?heater=${e}`);
let said = words(page.text);
check(page.code === 200, 'the methods are compared on a page', page.code);
check(said.includes('First choice: vacuum through the element hole') === (clean.advice === 'vacuum'), 'its first choice is that of the command line', said);
for (const m of clean.methods.filter((x) => x.verdict === 'works' || x.verdict === 'little')) {
    const row = words(page.text.match(new RegExp(`<tr><th scope="row"><a href="#${m.method}">.*?</tr>`))?.[0] ?? '');
    const figure = Number(row.match(/([\d.]+) lb/)?.[1]);
    check(Math.abs(figure - lb(m.out_kg.p50)) <= 0.06 * lb(m.out_kg.p50) + 0.051, `${m.method}: pounds out as on the command line`, `${row} against ${lb(m.out_kg.p50)}`);
}
check(/compressed air through the drain must not be done here\. No air into a tank whose plate was not read/.test(said), 'a refusal stands with its reason', said);
check(said.includes('Power off and proved dead') && said.includes('Vacuum work'), 'cautions stand at the point of use', said);
for (const m of clean.methods.filter((x) => x.verdict === 'works' || x.verdict === 'little')) {
    const begin = page.text.indexOf(`<h2 id="${m.method}">`), end = page.text.indexOf('<h2', begin + 4), before = page.text.indexOf('<h2 id="before">');
    for (const c of m.cautions.filter((x) => x.id !== 'C_CLOSE')) {
        const at = page.text.split(`<p id="${c.id}"`).length - 1, where = page.text.indexOf(`<p id="${c.id}"`);
        check(at === 1 && where > before && where < end && (where < page.text.indexOf('<h2', before + 4) || where > begin), `${m.method}, ${c.title}: once, before the methods or beside this one`, `${at} at ${where}`);
    }
}
check(page.text.includes('href="#before"'), 'each method leads to what goes before it', '');
check(page.text.includes('<svg') && said.includes('The figures'), 'a chart, and its figures as a table', said.slice(0, 200));
said = words((await desk.get(`/clean?heater=${g}`)).text);
check(/vacuum through the element hole cannot work here\. A gas tank has no element hole/.test(said), 'no vacuum into a gas tank', said);

// ---- his tools
let answer = await desk.post(`/clean?heater=${e}`, { heater: e, tool: 'stirrer_rpm', value: '9' });
check(answer.code === 422 && words(answer.text).includes('30 to 6000') && answer.text.includes('value="9"'), 'nine turns a minute are refused, beside their field', answer.text);
answer = await desk.post(`/clean?heater=${e}`, { heater: e, tool: 'stirrer', value: 'yes' });
check(answer.code === 303, 'a stirrer is kept', answer.code);
said = words((await desk.get(answer.headers.location)).text);
check(said.includes('Kept: stirrer is yes') && said.includes('First choice: rotating stirrer'), 'and changes the first choice', said.slice(0, 500));
check(json('clean', '--heater', electric).advice === 'stirrer', 'on the command line too', '');
answer = await desk.post(`/clean?heater=${e}`, { heater: e, tool: 'stirrer', value: '?' });
check(json('clean', '--heater', electric).advice === 'vacuum', '"?" takes it back', '');
answer = await desk.post(`/clean?heater=${e}`, { heater: e, tool: 'price', value: '1' });
check(answer.code === 422, 'nothing but a tool is taken there', answer.code);

// ---- the plan
const plan = json('visit', 'plan', electric, '--method', 'vacuum', '--day', '2026-12-03', '--from', '9');
page = await desk.get(`/visit?heater=${e}&method=vacuum&day=2026-12-03&from=9`);
said = words(page.text);
check(page.code === 200 && said.includes(plan.notice), 'the notice is that of the command line, word for word', plan.notice);
check(plan.steps.every((s) => said.includes(s.words)), 'every step stands there', '');
const at = (s) => page.text.indexOf(s);
check(at('Before you touch it') < at('Order of work') && at('<h3>Isolate') < at('<h3>Prove dead') && at('<h3>Prove dead') < at('<h3>Open'), 'cautions, then isolation, then proof of dead, then opening', '');
check(said.includes('under 120 F after the work') && said.includes('ohms'), 'what meters and rods should read', said);
const printed = page.text.match(/href="(\/paper\?document=notice[^"]*)"/)?.[1].replace(/&amp;/g, '&');
const paper = await desk.get(printed ?? '/');
check(printed?.includes('day=2026-12-03') && paper.headers['content-type'] === 'application/pdf', 'the notice to print is for the same day', `${printed} ${paper.headers['content-type']}`);
page = await desk.get(`/visit?heater=${e}&day=soon&from=9`);
check(page.code === 422 && page.text.includes('id="wrong-day"') && page.text.includes('value="soon"') && page.text.includes('value="9"'), 'a word for a day: the message beside it, all typed kept', page.text);
page = await desk.get(`/visit?heater=${g}&method=vacuum`);
check(page.code === 422 && words(page.text).includes('no element hole'), 'a method that cannot work is refused with its reason', page.text);
page = await desk.get(`/visit?heater=${g}&kind=standing`);
check(words(page.text).includes('before any flame') && words(page.text).includes('without spray'), 'after standing empty: hydrogen, then the hot flush', '');

// ---- entry
const entry = { heater: e, day: '2026-11-20', kind: 'clean', method: 'vacuum', minutes: 'about 95', cost: '?', dry_weight: '6.2', slurry: '', probe: '0.2, 0.3, 0.2, 0.1, 0.2',
    refill: '51.5', parts: 'gasket', photo: 'visits/a.jpg\nvisits/b.jpg', note: 'slow "drain" <b>', baseline: 'yes', pressure: '72', drain_bore: '1/2', drain_pattern: 'full port', over_1mm: '40', ohm_lower: '12.8' };
for (const [field, value, allowed] of [['dry_weight', 'much', 'wrong-dry_weight'], ['probe', '1, 2', 'five depths'], ['minutes', '-5', 'wrong-minutes'], ['day', '2027-01-01', 'today or earlier'],
    ['parts', 'gasket:x', 'wrong-parts'], ['tub', '900', 'wrong-tub'], ['heat_kwh', '7', 'start and end'], ['jar', '400', 'wrong-jar'], ['cost', 'x', 'wrong-cost'], ['ended', 'roof:leaked', 'wrong-ended'], ['miles', 'far', 'wrong-miles'], ['pressure', '900', 'wrong-pressure'], ['over_4mm', '70', 'more than the sample'],
    ['probe', '1, 1, 2, 1, 1', 'the rod still finds bed']]) {
    const bad = await desk.post(`/visit/record?heater=${e}`, { ...entry, [field]: value });
    const beside = allowed.startsWith('the rod') ? 'baseline' : allowed.startsWith('more') ? 'over_1mm' : field;
    check(bad.code === 422 && bad.text.includes(`id="wrong-${beside}"`) && bad.text.includes(allowed), `${field} "${value}" is refused beside its field`, bad.text.match(/class="error"[^]*?<\/p>/)?.[0] ?? bad.code);
    check(bad.text.includes('value="about 95"') === (field !== 'minutes') && bad.text.includes('visits/a.jpg'), `and what was typed beside ${field} is kept`, '');
}
check(desk.run('visit', 'show', electric).includes('2026-11-20') === false, 'nothing of all that is in the book', desk.run('visit', 'show', electric));
const empty = await desk.post(`/visit/record?heater=${e}`, { heater: e, kind: 'clean' });
check(empty.code === 422 && words(empty.text).includes('nothing to keep yet'), 'an empty form says so', empty.code);
answer = await desk.post(`/visit/record?heater=${e}`, entry);
check(answer.code === 303 && answer.headers.location.startsWith(`/prove?heater=${e}`), 'a whole visit is kept', answer.code);
said = words((await desk.get(answer.headers.location)).text);
check(said.includes('Closing card') && said.includes('6.2 lb'), 'what was kept is told, and the closing card', said.slice(0, 600));
const shown = desk.run('visit', 'show', electric);
check(words((await desk.get(`/clean?heater=${e}`)).text).includes('72 psi'), 'a pressure that was measured is what the methods rest on from then on', '');
check(shown.includes('95 min') && shown.includes('picture: visits/b.jpg') && shown.includes('slow "drain" <b>'), 'the command line has it', shown);

// ---- proof
const proof = json('prove', electric);
page = await desk.get(`/prove?heater=${e}`);
said = words(page.text);
check(said.includes(proof.record), 'the sentence for the record is that of the command line', proof.record);
check(said.includes('Clean, by probe under 15 mm'), 'clean by the rule', said);
check(said.includes('picture: visits/a.jpg') && said.includes('slow "drain"') && !page.text.includes('<b>'), 'the visit with its pictures, and nothing typed becomes markup', said);
said = words((await desk.get(`/prove?heater=${g}`)).text);
check(said.includes('by the forecast alone') || said.includes('By the readings of'), 'a tank without readings says what it rests on', said);
said = words((await desk.get(`/visit/record?heater=${e}`)).text);
check(said.includes('Its own, when clean: filling 51.5 gal'), 'clean readings of its own are kept and shown', said);
check(!(await desk.get(`/visit/record?heater=${g}`)).text.includes('name="ohm_lower"') && (await desk.get(`/visit/record?heater=${g}`)).text.includes('name="spill"'), 'a gas heater is asked for spill, not for ohms', '');
check(words((await desk.get(`/visit/record?heater=${g}`)).text).includes('This heater has none yet'), 'and asked for where there are none', '');

for (const path of ['/clean', '/clean?heater=x', '/visit?heater=99999', '/prove?heater=-1', '/visit/record?heater=0', '/prove?heater='])
    check((await desk.get(path)).code === 404, `${path} is not there`, '');
await desk.close();
