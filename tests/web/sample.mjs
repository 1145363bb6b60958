// A book in which every page has something to show, and the rows of pages.def with a query for each.
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { newBook, today } from './desk.mjs';

export function sampleBook(program, tables) {
    const { folder, book } = newBook(program, tables);
    const tufa = (...words) => execFileSync(program, [...words, '--book', book, ...today], { encoding: 'utf8' });
    tufa('call', 'new', 'Ferry Road 47 rear', 'hot for five minutes, then cold', '--complaint', 'runs_out');
    tufa('call', 'new', 'Ferry Road 40', 'it smells of gas down there', '--complaint', 'gas_smell');
    tufa('visit', 'record', 'Linden Row 9', 'day=2026-10-02', 'kind=clean', 'method=vacuum', 'minutes=95', 'dry_weight=6.2 lb', 'probe=0.2,0.3,0.2,0.1,0.2', 'refill=48 gal');
    return { folder, book };
}

// The path, the words in the menu and the act of every page, out of the table that the program is made of.
export function pagesOf(source) {
    const text = readFileSync(source, 'utf8').replace(/\/\*[\s\S]*?\*\//g, '');
    const string = '(NULL|"(?:[^"\\\\]|\\\\.)*")';
    const rows = [...text.matchAll(new RegExp(`X\\(\\s*(\\w+)\\s*,\\s*${string}\\s*,\\s*${string}\\s*,\\s*${string}\\s*,\\s*(\\w+)\\s*,\\s*(\\w+)\\s*\\)`, 'g'))];
    const plain = (s) => (s === 'NULL' ? null : s.slice(1, -1));
    return rows.map((m) => ({ id: m[1], path: plain(m[2]), menu: plain(m[3]), act: m[6] === 'no_form' ? null : m[6] }));
}

// What a page is about; a page that is not here is asked with one heater and one house.
const queries = {
    '/': '', '/houses': '?look=ferry', '/explain': '?what=bed&id=3', '/heater': '?id=3&hour=7', '/call': '?id=1', '/paper': '',
    '/assumptions': '?item=mile_usd', '/bill': '?heater=32', '/year': '', '/settings': '', '/import': '', '/calls': '', '/call/new': '',
    '/quote': '?heater=3&price=1850', '/rounds': '', '/rounds/calendar': '', '/account': '', '/notice': '', '/treatments': '', '/learned': '', '/waters': '',
};
export const askedAs = (path) => path + (queries[path] ?? '?id=2&heater=2');

// A round is found by its day, which the plan gives, on a busy machine after a while.
export async function findQueries(desk) {
    for (let wait = 0; wait < 60; wait++) {
        const rounds = await (await fetch(`${desk.origin}/rounds`)).text();
        const link = rounds.match(/href="\/round(\?[^"]+)"/);
        if (link) {
            queries['/round'] = link[1].replaceAll('&amp;', '&');
            return;
        }
        await new Promise((done) => setTimeout(done, 1000));
    }
}
