// The pictures of README and docs, from the invented demo: node tools/pictures.mjs PROGRAM FOLDER (after npm ci --prefix tests/web).
import { join } from 'node:path';
import { openBrowser } from '../tests/web/browse.mjs';
import { newBook, startDesk, stopDesk } from '../tests/web/desk.mjs';

const [program, to] = process.argv.slice(2);
const browser = await openBrowser();
const { folder, book } = newBook(program, 'examples/demo');
const desk = await startDesk(program, book);

// Path, name, width, height, and the element to begin at.
const pictures = [
    ['/', 'first-page', 820, 760, null],
    ['/heater', 'heater', 1040, 720, null, 'Cooper Alley 11'],
    ['/heater', 'bed-ahead', 820, 520, 'h2:has-text("The bed ahead")', 'Cooper Alley 11'],
    ['/rounds', 'rounds', 1040, 620, null],
];
for (const [path, name, width, height, from, heater] of pictures) {
    const page = await browser.newPage({ viewport: { width, height } });
    await page.goto(desk.origin + (heater ? '/houses?look=' + encodeURIComponent(heater) : path));
    if (heater) await Promise.all([page.waitForNavigation(), page.locator('main td').getByRole('link', { name: heater, exact: true }).first().click()]);
    const top = from ? (await page.locator(from).first().boundingBox()).y - 16 : 0;
    await page.screenshot({ path: join(to, `${name}.png`), fullPage: true, clip: { x: 0, y: top, width, height } });
    await page.close();
}
await browser.close();
await stopDesk(desk, folder);
