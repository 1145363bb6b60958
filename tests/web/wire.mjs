// A desk on a book of its own, asked over the wire; checks as TAP.
import { execFileSync } from 'node:child_process';

import { ask, check, finish, newBook, startDesk, stopDesk, today } from './desk.mjs';

export { check };

/** What a page says, without its markup. */
export const words = (html) => html.replace(/<[^>]*>/g, ' ').replace(/&quot;/g, '"').replace(/&#39;/g, "'").replace(/&middot;/g, '·').replace(/&nbsp;/g, ' ').replace(/&amp;/g, '&').replace(/\s+/g, ' ');

export async function openDesk(program, tables) {
    const { folder, book } = newBook(program, tables);
    const run = (...args) => execFileSync(program, [...args, '--book', book, ...today], { encoding: 'utf8' });
    const desk = await startDesk(program, book);
    const get = (path) => ask(desk, { path });
    /** Fills the form of a page and sends it as a browser would, with the page's token; `fields` may hold arrays. */
    const post = async (path, fields, from = path) => {
        const token = (await get(from)).text.match(/name="token" value="([^"]*)"/)?.[1] ?? '';
        const pairs = Object.entries({ token, ...fields }).flatMap(([k, v]) => [v].flat().map((x) => `${encodeURIComponent(k)}=${encodeURIComponent(x)}`));
        return ask(desk, { method: 'POST', path: path.split('?')[0], headers: { 'Content-Type': 'application/x-www-form-urlencoded' }, body: pairs.join('&') });
    };
    const close = async () => {
        await stopDesk(desk, folder);
        finish();
    };
    return { get, post, run, close, port: desk.port };
}
