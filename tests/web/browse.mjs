// Chromium for the tests of pages; without it, or without `npm ci` here, the tests are skipped and say so.
import { existsSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const candidates = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

function skipAll(why) {
    console.log(`1..0 # SKIP ${why}`);
    process.exit(0);
}

export async function openBrowser() {
    const program = candidates.find(existsSync);
    if (!program) skipAll('no chromium here');
    if (!existsSync(join(here, 'node_modules', 'playwright-core'))) skipAll('npm ci --prefix tests/web was not run');
    const { chromium } = await import('playwright-core');
    return chromium.launch({ executablePath: program, args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage'] });
}

export function axeSource() {
    return createRequire(import.meta.url).resolve('axe-core/axe.min.js');
}
