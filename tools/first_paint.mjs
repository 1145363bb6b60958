// First paint of pages of a desk that is open: node tools/first_paint.mjs ORIGIN NAME=PATH ... (after npm ci --prefix tests/web).
// For each the median and the worst of some looks in Chromium, every one in a browser context of its own, in milliseconds from the
// start of the navigation, as members of a JSON object.
import { openBrowser } from '../tests/web/browse.mjs';

const LOOKS = 7;
const [origin, ...asked] = process.argv.slice(2);

async function paintOf(browser, url) {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(url);
    const ms = await page.evaluate(() => new Promise((resolve) => {
        const seen = performance.getEntriesByName('first-contentful-paint')[0];
        if (seen) resolve(seen.startTime);
        else new PerformanceObserver((list) => resolve(list.getEntriesByName('first-contentful-paint')[0].startTime)).observe({ type: 'paint', buffered: true });
    }));
    await context.close();
    return ms;
}

const browser = await openBrowser();
for (const one of asked) {
    const [name, path] = [one.slice(0, one.indexOf('=')), one.slice(one.indexOf('=') + 1)];
    const ms = [];
    for (let i = 0; i < LOOKS; i++) ms.push(await paintOf(browser, origin + path));
    ms.sort((a, b) => a - b);
    process.stdout.write(`, "${name}_paint_ms": ${ms[(LOOKS - 1) / 2].toFixed(0)}, "${name}_paint_worst_ms": ${ms[LOOKS - 1].toFixed(0)}`);
}
await browser.close();
