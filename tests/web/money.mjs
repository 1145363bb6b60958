// Quote, account and treatments as pages: money.mjs PROGRAM DEMO-TABLES. Figures are those of the command line.
import { check, openDesk, words } from './wire.mjs';

const [program, tables] = process.argv.slice(2);
const desk = await openDesk(program, tables);
const heater = 'Cooper Alley 11';
const json = (...args) => JSON.parse(desk.run(...args, '--json').split('\n')[0]);

// ---- a quote
let page = await desk.get('/quote');
check(page.code === 200 && !words(page.text).includes('breaks even'), 'nothing is judged before something is said', page.code);
let wanted = json('quote', heater, '--price', '1850', '--leaking', 'no', '--line', 'heater=900', '--line', 'haul_away=300');
page = await desk.get(`/quote?heater=${encodeURIComponent(heater)}&price=1850&leaking=no&line_heater=900&line_haul_away=300`);
let said = words(page.text);
check(page.code === 200 && said.includes(wanted.words), 'the first line is that of the command line', wanted.words);
for (const a of wanted.asks) check(said.includes(a.words), `question "${a.ask}" stands on the page`, said.slice(0, 400));
const row = (name) => words(page.text.match(new RegExp(`<tr><th scope="row">${name}.*?</tr>`))?.[0] ?? '');
check(row('taking the old heater away').includes('high') && row('the heater itself').includes('usual'), 'lines are marked', row('taking the old heater away'));
check(row('permit and inspection').includes('absent'), 'what is missing too', row('permit and inspection'));
const printed = page.text.match(/href="(\/paper\?document=quote[^"]*)"/)?.[1].replace(/&amp;/g, '&');
const paper = await desk.get(printed ?? '/');
check(paper.headers['content-type'] === 'application/pdf', 'the same on paper', `${printed} ${paper.headers['content-type']}`);

page = await desk.get('/quote?fuel=electric&price=1850&judge=1');
check(page.code === 200 && words(page.text).includes('Ask first whether the tank itself leaks'), 'fuel and price are enough', page.text.slice(0, 300));
page = await desk.get('/quote?fuel=gas&price=900&leaking=yes&unsafe=flue&unsafe=limit');
said = words(page.text);
check(said.indexOf('flue is unsafe') > 0 && said.indexOf('flue is unsafe') < said.indexOf('breaks even') && said.includes('limit has failed') && said.includes('leaking shell cannot be mended'),
    'dangers stand before the money', said.slice(0, 600));
page = await desk.get('/quote?fuel=electric&price=cheap&age=about+9&judge=1');
check(page.code === 422 && page.text.includes('value="cheap"') && page.text.includes('value="about 9"'), 'a word for a price: told, and all typed kept', page.code);
page = await desk.get('/quote?judge=1&price=100');
check(page.code === 422 && words(page.text).includes('what heats the water'), 'without a fuel it says what is missing', words(page.text).slice(0, 300));
page = await desk.get('/quote?fuel=electric&price=400&for=treatment&part=magnet');
check(words(page.text).includes('No, by its whole price, $400') && page.text.includes('/treatments'), 'a magnet is worth nothing, and where that is told', page.text.slice(0, 300));

// ---- treatments
const trial = json('treatments');
said = words((await desk.get('/treatments')).text);
check(trial.treatments.every((t) => said.includes(t.known) && said.includes(t.source)), 'each treatment with what is known and its source', '');
check(trial.houses.length === 2 && trial.houses.every((h) => said.includes(h)), 'two of his houses are named', trial.houses);
check(trial.trials.every((t) => said.includes(`${Math.round(100 * t.least_share)} %`)), 'shares are those of the command line', said.slice(-900));

// ---- the account
const house = 'Cooper Alley 2';
let answer = await desk.post('/account', { year: '2026', house, day: '2026-03-14', for: 'relief <valve>', paid: '1240.55', to: 'a plumber', receipt: 'r1.jpg', miles: '24.3', kind: '', mark: 'repaired' });
check(answer.code === 303, 'a payment is kept', words(answer.text).slice(0, 300));
page = await desk.get(answer.headers.location);
said = words(page.text);
check(said.includes('$1,240.55') && said.includes('r1.jpg') && said.includes('24.3'), 'and stands in the account of its year', said.slice(0, 500));
check(!page.text.includes('<valve>') && page.text.includes('&lt;valve&gt;'), 'what was typed cannot become markup', '');
const id = json('account', '2026').rows.find((r) => r.paid_to === 'a plumber').row;
answer = await desk.post('/account', { year: '2026', corrects: String(id), paid: '1240.65', mark: 'replaced' });
check(answer.code === 303 && json('account', '2026').all.cents === 124065 && json('account', '2026').all.replaced_cents === 124065, 'a correction takes its place, to the cent', JSON.stringify(json('account', '2026').all));
answer = await desk.post('/account', { house, for: 'x', paid: 'about 12' });
check(answer.code === 422 && words(answer.text).includes('exactly') && answer.text.includes('value="about 12"'), 'a rough amount is refused beside its field', words(answer.text).slice(0, 300));
answer = await desk.post('/account', { house: 'Nowhere 9', for: 'x', paid: '12' });
check(answer.code === 422, 'an unknown house is refused', answer.code);
check(json('account', '2026').all.cents === 124065, 'and nothing of that is in the book', '');
const csv = await desk.get('/account?year=2026&csv=1');
check(csv.headers['content-type'].startsWith('text/csv') && csv.text === desk.run('account', '2026', '--csv'), 'the table is that of the command line, byte for byte', csv.text.slice(0, 200));
page = await desk.get('/account?year=soon');
check(page.code === 422, 'a word is no year', page.code);
await desk.close();
