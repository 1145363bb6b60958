// Every page of the table in a real browser, at phone and desk width: axe finds nothing, nothing sticks out, no script
// fails; odd queries get a page that says so. pages.mjs PROGRAM DEMO-TABLES PAGES.DEF SCREENSHOTS. TAP.
import { mkdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { axeSource, openBrowser } from './browse.mjs';
import { check, finish, startDesk, stopDesk } from './desk.mjs';
import { askedAs, findQueries, pagesOf, sampleBook } from './sample.mjs';

const [program, tables, table, shots] = process.argv.slice(2);
const browser = await openBrowser();
const axe = readFileSync(axeSource(), 'utf8');
const { folder, book } = sampleBook(program, tables);
const desk = await startDesk(program, book);
const pages = pagesOf(table);
mkdirSync(shots, { recursive: true });
check(pages.length >= 9, 'the table of pages is read', pages.map((p) => p.path).join(' '));

// What is a file to keep and no page.
const files = new Set();
await findQueries(desk);
for (const { path } of pages) {
    const answer = await fetch(desk.origin + askedAs(path));
    if (!String(answer.headers.get('content-type')).startsWith('text/html')) files.add(path);
    await answer.arrayBuffer();
}

const widths = [{ width: 390, height: 844, scheme: 'dark' }, { width: 1280, height: 900, scheme: 'light' }, { width: 1600, height: 1000, scheme: 'dark' }];
for (const { width, height, scheme } of widths) {
    const context = await browser.newContext({ viewport: { width, height }, colorScheme: scheme });
    const page = await context.newPage();
    let errors = [];
    page.on('pageerror', (error) => errors.push(String(error)));
    page.on('console', (message) => { if (message.type() === 'error') errors.push(message.text()); });
    for (const { path } of pages) {
        if (files.has(path)) continue;
        errors = [];
        const answer = await page.goto(desk.origin + askedAs(path));
        check(answer.status() === 200, `${path} answers at ${width} px`, await page.textContent('main'));
        check(errors.length === 0, `${path} at ${width} px: no script and no policy complains`, errors.join('; '));
        const wide = await page.evaluate(() => [...document.querySelectorAll('body *')]
            .filter((e) => !e.closest('.wide, .unseen, .skip') && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1)
            .map((e) => `${e.tagName} ${e.textContent.slice(0, 40)}`).slice(0, 3));
        check(wide.length === 0, `${path} at ${width} px: nothing sticks out`, wide.join(' | '));
        const sideways = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
        check(sideways <= 0, `${path} at ${width} px: the page does not scroll sideways`, sideways);
        check(!(await page.textContent('main')).includes('`'), `${path} at ${width} px: no sentence keeps the marks of a command`, (await page.textContent('main')).match(/.{40}`.{40}/s));
        if (width === 1600) continue;
        await page.evaluate(axe);
        const found = await page.evaluate(() => window.axe.run(document, { resultTypes: ['violations'] }));
        check(found.violations.length === 0, `${path} at ${width} px, ${scheme}: axe finds nothing`,
            found.violations.map((v) => `${v.id}: ${v.nodes.slice(0, 2).map((n) => n.html.slice(0, 120)).join(' ')}`).join('; '));
        const name = `${path === '/' ? 'today' : path.slice(1).replaceAll('/', '-')}-${width}.png`;
        await page.screenshot({ path: join(shots, name), fullPage: true });
    }
    await context.close();
}

// Missing and odd queries: a page of ours with a sentence, never a failure inside.
const odd = ['', '?id=', '?id=abc&heater=abc', '?id=999999&heater=999999', '?id=-1&heater=-1', '?id=99999999999999999999&heater=1e9', '?what=%3Cscript%3E&look=%3Ci%20odd%3E&item=x&words=%3Ci%20odd%3E',
    '?id=1&heater=1&hour=99&street=%22%27&day=2026-02-30&waiting=7&said=1'];
for (const { path } of pages)
    for (const query of odd) {
        const answer = await fetch(desk.origin + path + query, { redirect: 'manual' });
        const text = await answer.text();
        const later = answer.status === 503 && text.includes('id="again"'); // worked out meanwhile, and the page says so
        const fine = (later || [200, 303, 404, 422].includes(answer.status)) && (text.includes('<main') || files.has(path) || answer.headers.get('content-type') === 'application/pdf');
        check(fine && !text.includes('<script>') && !text.includes('<i odd'), `${path}${query} gets a page that says what is wrong`, `${answer.status} ${text.slice(-300)}`);
    }

await browser.close();
await stopDesk(desk, folder);
finish();
