// Odd input in every field of every form: the page stays, what was typed is kept, its message stands beside the field, and
// the book is as it was. forms.mjs PROGRAM DEMO-TABLES PAGES.DEF. TAP.
import { execFileSync } from 'node:child_process';
import { openBrowser } from './browse.mjs';
import { check, finish, startDesk, stopDesk } from './desk.mjs';
import { askedAs, pagesOf, sampleBook } from './sample.mjs';

const [program, tables, table] = process.argv.slice(2);
const browser = await openBrowser();
const { folder, book } = sampleBook(program, tables);
const desk = await startDesk(program, book);
const odd = 'twelve <b>buckets</b> & "so"';

// What the other fields need for the one in question to be looked at; and fields that take any words.
const fill = {
    '/houses': { house: 'New Lane 1' },
    '/bill': { date: '2026-11-20', used: '500' },
    '/call/new': { heater: 'Linden Row 9', words: 'cold again', complaint: 'no_hot' },
};
const anyWords = new Set(['/houses heater', '/houses house', '/houses place', '/call/new words', '/visit/record note', '/visit/record by', '/visit/record photo',
    '/visit/record parts', '/notice notice', '/account for', '/account to', '/account receipt', '/settings owner', '/settings phone', '/call who', '/call told', '/import rows']);

const counted = () => execFileSync(program, ['book', 'check', '--book', book], { encoding: 'utf8' });
const page = await browser.newPage();
const before = counted();

const fieldsOf = (form) => form.locator('input:not([type=hidden]):not([type=checkbox]):not([type=radio]):not([type=file]):not([type=search]), textarea')
    .evaluateAll((all) => all.map((e) => e.name));

let looked = 0;
for (const { path, act } of pagesOf(table)) {
    if (!act) continue;
    await page.goto(desk.origin + askedAs(path));
    const forms = page.locator('form[method=post]');
    for (let f = 0; f < await forms.count(); f++) {
        const names = await fieldsOf(forms.nth(f));
        for (const name of names) {
            const key = `${path} ${name}`;
            if (anyWords.has(key)) continue;
            await page.goto(desk.origin + askedAs(path));
            await page.evaluate(() => { for (const d of document.querySelectorAll('details')) d.open = true; });
            const form = page.locator('form[method=post]').nth(f);
            for (const [other, value] of Object.entries(fill[path] ?? {})) {
                const field = form.locator(`[name="${other}"]`).first();
                if (other === name || !(await field.count())) continue;
                if ((await field.getAttribute('type')) === 'checkbox') await form.locator(`[name="${other}"][value="${value}"]`).first().check();
                else await field.fill(value);
            }
            await form.locator(`[name="${name}"]`).fill(odd);
            const [answer] = await Promise.all([page.waitForNavigation(), form.locator('button').first().click()]);
            looked += 1;
            check(answer.status() === 422 || answer.status() === 404, `${key}: odd input is refused`, `${answer.status()} ${await page.textContent('main')}`);
            const again = page.locator(`form[method=post] [name="${name}"]`).first();
            const kept = (await again.count()) ? await again.inputValue() : '';
            check(kept === odd, `${key}: what was typed is kept`, kept);
            const described = (await again.count()) ? (await again.getAttribute('aria-describedby')) ?? '' : '';
            const message = described.includes(`wrong-${name}`) ? await page.textContent(`#wrong-${name}`) : '';
            check(message.includes('twelve') && message.length > 20, `${key}: its message stands beside it`, `${described} ${message} ${await page.locator('[role=alert]').allTextContents()}`);
            check((await again.count()) && (await again.getAttribute('aria-invalid')) === 'true', `${key}: it is marked for who cannot see it`, described);
        }
    }
}
check(looked >= 20, 'the forms were found', looked);
check(counted() === before, 'nothing of it is in the book', counted());
await browser.close();
await stopDesk(desk, folder);
finish();
