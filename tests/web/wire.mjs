// A desk on a book of its own, asked over the wire; checks as TAP.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { request } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

import { check, finish } from './desk.mjs';

export { check };

/** What a page says, without its markup. */
export const words = (html) => html.replace(/<[^>]*>/g, ' ').replace(/&quot;/g, '"').replace(/&#39;/g, "'").replace(/&middot;/g, '·').replace(/&nbsp;/g, ' ').replace(/&amp;/g, '&').replace(/\s+/g, ' ');

export async function openDesk(program, tables, today) {
    const folder = mkdtempSync(join(tmpdir(), 'tufa-'));
    const book = join(folder, 'pages.book');
    const day = ['--today', today];
    const run = (...args) => execFileSync(program, [...args, '--book', book, ...day], { encoding: 'utf8' });
    execFileSync(program, ['book', 'new', book]);
    run('book', 'import', tables);
    const child = spawn(program, ['desk', '--book', book, '--port', '0', ...day]);
    const port = await new Promise((resolve) => {
        let said = '';
        child.stdout.on('data', (piece) => {
            said += piece;
            const m = said.match(/127\.0\.0\.1:(\d+)/);
            if (m) resolve(Number(m[1]));
        });
    });
    const ask = (method, path, headers, body) => new Promise((resolve) => {
        const r = request({ host: '127.0.0.1', port, path, method, headers: { Host: `127.0.0.1:${port}`, ...headers } }, (answer) => {
            let text = '';
            answer.setEncoding('utf8');
            answer.on('data', (piece) => { text += piece; });
            answer.on('end', () => resolve({ code: answer.statusCode, headers: answer.headers, text }));
        });
        r.on('error', (error) => resolve({ code: 0, headers: {}, text: String(error) }));
        r.end(body);
    });
    const get = (path) => ask('GET', path, {}, '');
    /** Fills the form of a page and sends it as a browser would, with the page's token; `fields` may hold arrays. */
    const post = async (path, fields, from = path) => {
        const token = (await get(from)).text.match(/name="token" value="([^"]*)"/)?.[1] ?? '';
        const pairs = Object.entries({ token, ...fields }).flatMap(([k, v]) => [v].flat().map((x) => `${encodeURIComponent(k)}=${encodeURIComponent(x)}`));
        return ask('POST', path.split('?')[0], { 'Content-Type': 'application/x-www-form-urlencoded' }, pairs.join('&'));
    };
    const close = async () => {
        const closed = new Promise((resolve) => child.on('exit', resolve));
        child.kill('SIGTERM');
        await closed;
        rmSync(folder, { recursive: true });
        finish();
    };
    return { get, post, run, close, port };
}
