// Documents as pages give them: paper.mjs PROGRAM DEMO-TABLES. They are those of the command line, byte for byte.
import { readFileSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { rmSync } from 'node:fs';

import { check, openDesk, words } from './wire.mjs';

const [program, tables] = process.argv.slice(2);
const desk = await openDesk(program, tables);
const file = join(tmpdir(), `tufa-paper-${process.pid}.pdf`);
const heaters = new Map([...(await desk.get('/houses')).text.matchAll(/\/heater\?id=(\d+)[^>]*>([^<]+)</g)].map((m) => [m[2], m[1]]));
const id = heaters.get('Cooper Alley 2');
check(id, 'the demo has its heater', [...heaters.keys()].join(', '));

const bytes = (path) => new Promise((resolve) => {
    request({ host: '127.0.0.1', port: desk.port, path, headers: { Host: `127.0.0.1:${desk.port}` } }, (answer) => {
        const pieces = [];
        answer.on('data', (piece) => pieces.push(piece));
        answer.on('end', () => resolve({ code: answer.statusCode, type: answer.headers['content-type'], body: Buffer.concat(pieces) }));
    }).end();
});

const list = await desk.get('/paper');
const documents = [...list.text.matchAll(/document=([^"&]+)"/g)].map((m) => decodeURIComponent(m[1].replace(/\+/g, ' ')));
check(documents.length >= 9, 'every document is on the list', documents.join(', '));
for (const word of ['sheet', 'notice', 'card', 'turnover', 'record']) {
    const page = await bytes(`/paper?document=${word}&heater=${id}`);
    desk.run(...word.split(' '), 'Cooper Alley 2', '--out', file);
    check(page.code === 200 && page.type === 'application/pdf', `${word} is a PDF`, page.code);
    check(page.body.equals(readFileSync(file)), `${word} is that of the command line, byte for byte`, page.body.length);
}
const year = await bytes('/paper?document=year%20paper');
desk.run('year', 'paper', '--out', file);
check(year.type === 'application/pdf' && year.body.equals(readFileSync(file)), 'so is the year plan', year.type);
const quote = await bytes(`/paper?document=quote+paper&heater=${id}&price=1850&line=heater%3D900%3B%20permit%3D120`);
desk.run('quote', 'paper', 'Cooper Alley 2', '--price', '1850', '--line', 'heater=900', '--line', 'permit=120', '--out', file);
check(quote.body.equals(readFileSync(file)), 'a quote with its lines too', quote.type);
const account = await bytes('/paper?document=account+paper&year=2026');
desk.run('account', 'paper', '2026', '--out', file);
check(account.body.equals(readFileSync(file)), 'and an account', account.type);
const told = await bytes(`/paper?document=notice&heater=${id}&day=2026-12-01&from=9`);
desk.run('notice', 'Cooper Alley 2', '--day', '2026-12-01', '--from', '9', '--out', file);
check(told.body.equals(readFileSync(file)), 'what is said in the form is said to the command', told.type);
rmSync(file, { force: true });

// ---- what cannot be made comes back as a form
let page = await desk.get('/paper?document=sheet&heater=Nowhere');
check(page.code === 422 && page.text.includes('value="Nowhere"') && page.text.includes('role="alert"'), 'an unknown heater stays in its field, with the reason', page.text);
page = await desk.get(`/paper?document=notice&heater=${id}&day=yesterday&from=9`);
check(page.code === 422 && page.text.includes('id="wrong-day"') && page.text.includes('value="yesterday"') && page.text.includes('value="9"'), 'a day that is none has its message beside it, and what else was typed stays', page.text);
page = await desk.get(`/paper?document=sheet&heater=${id}&method=%3Cscript%3E`);
check(page.code === 422 && !page.text.includes('<script>'), 'markup typed into a field stays words', page.text);
page = await desk.get('/paper?document=../../etc/passwd&heater=1');
check(page.code === 422 && !page.text.includes('root:'), 'a document is a row of a table, never a file', page.code);
page = await desk.get('/paper?document=sheet');
check(page.code === 200 && page.text.includes('name="heater"'), 'a document without its heater asks for it', page.text);
page = await desk.get(`/heater?id=${id}`);
check(page.text.includes('/paper?document=record&amp;heater='), 'the page of a heater leads to its papers', words(page.text).slice(-400));

// ---- the text of the notice
page = await desk.get('/notice');
check(page.code === 200 && page.text.includes('To the household at {house}') && words(page.text).includes('usual text'), 'the usual text can be changed', page.text);
let answer = await desk.post('/notice', { notice: 'Pay {rent}' });
check(answer.code === 422 && answer.text.includes('Pay {rent}') && answer.text.includes('{house}'), 'a place that nothing fills is refused beside the text, which stays', answer.text);
answer = await desk.post('/notice', { notice: '   ' });
check(answer.code >= 400, 'an empty text is refused', answer.code);
answer = await desk.post('/notice', { notice: 'Hello {house},\r\n\r\nI come on {day}. <b>&' });
check(answer.code === 303, 'own words are kept', answer.code);
page = await desk.get('/notice');
check(page.text.includes('&lt;b&gt;&amp;') && words(page.text).includes('your own text'), 'and shown again as they were typed', page.text);
check(desk.run('notice', 'text').startsWith('Hello {house},\n\nI come on {day}. <b>&\n'), 'the command line has them too', desk.run('notice', 'text'));
answer = await desk.post('/notice', { usual: '1' });
check(answer.code === 303 && desk.run('notice', 'text').startsWith('To the household'), 'the usual text comes back', answer.code);
await desk.close();
