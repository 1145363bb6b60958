// The year's rounds as pages: rounds.mjs PROGRAM DEMO-TABLES. Figures are those of the command line.
import { check, openDesk, words } from './wire.mjs';

const [program, tables] = process.argv.slice(2);
const desk = await openDesk(program, tables);
const lines = desk.run('rounds', '--json').trim().split('\n').map((l) => JSON.parse(l));
const rounds = lines.filter((l) => l.kind === 'round');
const visits = lines.filter((l) => l.kind === 'visit');
const ask = async (path) => { // the plan is worked out behind the pages
    for (let i = 0; ; i++) {
        const page = await desk.get(path);
        if (page.code !== 503 || i > 60) return page;
        await new Promise((resolve) => setTimeout(resolve, 500));
    }
};

let page = await ask('/rounds');
check(page.code === 200, 'the rounds are a page', page.code);
const days = [...page.text.matchAll(/\/round\?day=(\d{4}-\d{2}-\d{2})&amp;number=1/g)].map((m) => m[1]);
check(JSON.stringify(days) === JSON.stringify(rounds.map((r) => r.day)), 'the calendar links every round on its day', `${days} against ${rounds.map((r) => r.day)}`);
const december = page.text.match(/<table class="month"><caption>December 2026.*?<\/table>/s)?.[0] ?? '';
check((december.match(/<th scope="col">/g) ?? []).length === 7, 'a month is a table with a head for each weekday', december.slice(0, 300));
const rows = december.match(/<tr>.*?<\/tr>/gs) ?? [];
const first = rounds.find((r) => r.day.startsWith('2026-12'));
const week = rows.find((r) => r.includes(`day=${first.day}`)) ?? '';
const cell = week.split('<td').findIndex((c) => c.includes(`day=${first.day}`));
check(cell === ((new Date(`${first.day}T00:00:00Z`).getUTCDay() + 6) % 7) + 1, 'a day stands under its weekday', cell);
let said = words(page.text);
for (const v of visits.filter((x) => x.round === null)) check(said.includes(v.heater) && said.includes(v.out), `${v.heater} is named with its reason`, said.slice(0, 400));
check(/can cost less; that is proven|can save more than/.test(said), 'how near the best it is', said.slice(0, 900));
check(said.includes('nine years of ten') && said.includes('(assumed)'), 'reserve and assumptions stand there', said.slice(0, 900));

page = await ask('/rounds?show=table');
said = words(page.text);
check(page.code === 200 && rounds.every((r) => said.includes(`$${Math.round(r.drive_usd)}`)), 'the table has the money', said.slice(0, 600));

for (const r of rounds) {
    page = await ask(`/round?day=${r.day}`);
    said = words(page.text);
    const of = visits.filter((v) => v.day === r.day && v.round === r.round);
    check(page.code === 200 && of.every((v) => said.includes(v.heater)), `the round of ${r.day} has its ${of.length} visits`, said.slice(0, 300));
    check(of.map((v) => said.indexOf(v.heater)).every((at, i, all) => i === 0 || at > all[i - 1]), 'in their order', said.slice(0, 300));
    check(r.kit.filter((k) => k.part && k.carry > 0).every((k) => said.includes(k.what)), 'with the parts to bring', said.slice(0, 600));
    check(said.includes('Power off and proved dead') || said.includes('Water work on a gas heater'), 'and cautions before the work', said.slice(-600));
}
check((await ask('/round?day=2026-11-28')).code === 404, 'a day without a round is not found', '');
check((await ask('/round?day=soon')).code === 422, 'a day that is none is refused', '');
check((await ask('/round')).code === 422, 'so is no day at all', '');

page = await ask('/rounds/calendar');
check(page.code === 200 && /^text\/calendar/.test(page.headers['content-type']) && page.text.startsWith('BEGIN:VCALENDAR\r\n'), 'the calendar is a file', page.text.slice(0, 80));
check((page.text.match(/UID:round-/g) ?? []).length === rounds.length, 'with an entry for each round', page.text.slice(0, 300));

page = await ask('/whatif');
said = words(page.text);
check(page.code === 200 && said.includes('North main softened') && said.includes('Legionella'), 'what if stands side by side, with its caution', said.slice(0, 400));
page = await ask('/whatif?water=nowhere');
check(page.code >= 400 && page.code < 500, 'a water that is not there is refused', page.code);
page = await ask('/whatif?setpoint=warm');
check(words(page.text).includes('no number') && page.text.includes('value="warm"'), 'a word is no setpoint, and stays in its field', words(page.text).slice(0, 400));
await desk.close();
