// Beyond this computer: passphrase first, sessions, tokens, the wait after wrong ones, TLS. sign_in.mjs PROGRAM DEMO-TABLES. TAP.
import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync, statSync } from 'node:fs';
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { ask, check, finish, newBook, skip, startDesk, stopDesk, today } from './desk.mjs';

const [program, tables] = process.argv.slice(2);
const phrase = 'four words are good';
const { folder, book } = newBook(program, tables);
const address = Object.values(networkInterfaces()).flat().find((a) => a.family === 'IPv4' && !a.internal)?.address;

const form = { 'Content-Type': 'application/x-www-form-urlencoded' };
const signIn = (desk, words) => ask(desk, { method: 'POST', headers: form, body: `passphrase=${encodeURIComponent(words)}` });
const run = (words, input) => spawnSync(program, words, { input, encoding: 'utf8' });

const every = run(['desk', '--book', book, '--listen', '0.0.0.0', ...today]);
check(every.status !== 0 && every.stderr.includes('one address'), 'every address at once is refused', every.stderr);
if (!address) {
    skip('the desk beyond this computer', 'this computer has no address but its own');
    finish();
}
const early = run(['desk', '--book', book, '--listen', address, '--port', '0', ...today]);
check(early.status !== 0 && early.stderr.includes('passphrase'), 'nobody else is let in before a passphrase is set', early.stderr);
const short = run(['desk', 'passphrase', '--book', book], 'too short\n');
check(short.status !== 0 && short.stderr.includes('12'), 'a short passphrase is refused', short.stderr);
const none = run(['desk', 'passphrase', '--book', book], '\n');
check(none.status !== 0, 'an empty passphrase is refused', none.stderr);
const set = run(['desk', 'passphrase', '--book', book], `${phrase}\n`);
check(set.status === 0, 'a passphrase of four words is taken', set.stderr);
const kept = readFileSync(`${book}.passphrase`, 'utf8');
check(kept.startsWith('$argon2id$') && !kept.includes(phrase), 'only its Argon2id hash is kept', kept);
check((statSync(`${book}.passphrase`).mode & 0o077) === 0, 'and for its owner alone', statSync(`${book}.passphrase`).mode.toString(8));
check(!readFileSync(book).includes('argon2id'), 'the book itself does not carry it', 'found in the book');

let desk = await startDesk(program, book, ['--listen', address]);
check(desk.said().includes('every computer on this network') && desk.said().includes('read along'), 'what it means is printed', desk.said());
const first = await ask(desk);
check(first.code === 401 && !first.text.includes('Orchard Bend') && !first.text.includes('<nav'), 'without signing in nothing of the book is shown', first.text);
for (const path of ['/houses', '/heater?id=1', '/year', '/import', '/nowhere'])
    check((await ask(desk, { path })).code === 401, `nor at ${path}`, path);
const wrong = await signIn(desk, 'not the passphrase');
check(wrong.code === 401 && !wrong.headers['set-cookie'], 'a wrong passphrase opens nothing', JSON.stringify(wrong.headers));
const right = await signIn(desk, phrase);
const cookie = String(right.headers['set-cookie'] ?? '');
check(right.code === 303 && /HttpOnly/.test(cookie) && /SameSite=Strict/.test(cookie) && !/Secure/.test(cookie), 'the right one gives a session that no script reads', cookie);
const session = { Cookie: cookie.split(';')[0] };
const inside = await ask(desk, { headers: session });
check(inside.code === 200 && inside.text.includes('<nav'), 'with the session the pages are there', inside.text);
check((await ask(desk, { headers: { Cookie: `${session.Cookie.slice(0, -1)}x` } })).code === 401, 'a session that is one letter off is none', '');
const second = await signIn(desk, phrase);
const other = { Cookie: String(second.headers['set-cookie']).split(';')[0] };
const settings = await ask(desk, { path: '/settings', headers: session });
const token = settings.text.match(/name="token" value="([0-9a-f]+)"/)?.[1] ?? '';
const change = (headers, t) => ask(desk, { path: '/settings', method: 'POST', headers: { ...form, ...headers }, body: `token=${t}&owner=somebody` });
check((await change(session, '')).code === 403, 'a form without a token changes nothing', '');
check((await change(other, token)).code === 403, 'nor with the token of another session', '');
check((await change({}, token)).code === 401, 'nor without a session', '');
check((await change(session, token)).code === 303, 'with its own token it is taken', '');
check((await ask(desk, { headers: { ...session, Host: 'evil.example' } })).code === 421, 'another host name is refused, session or not', '');
const waits = [];
for (let i = 0; i < 6; i++) waits.push((await signIn(desk, `wrong passphrase ${i}`)).code);
check(waits.includes(429), 'after five wrong ones it waits', waits.join(' '));
check((await signIn(desk, phrase)).code === 429, 'and takes no passphrase in that minute, not even the right one', '');
check((await ask(desk, { headers: session })).code === 200, 'who is signed in goes on working', '');
await stopDesk(desk);

desk = await startDesk(program, book);
check((await ask(desk)).code === 200, 'on this computer alone nobody is asked', '');
await stopDesk(desk);

const made = spawnSync('openssl', ['req', '-x509', '-newkey', 'rsa:2048', '-nodes', '-keyout', join(folder, 'key.pem'), '-out', join(folder, 'cert.pem'),
    '-days', '2', '-subj', '/CN=office.example']);
if (made.status === 0) {
    const pem = ['--cert', join(folder, 'cert.pem'), '--key', join(folder, 'key.pem')];
    desk = await startDesk(program, book, ['--listen', address, '--host', 'office.example', ...pem]);
    check(desk.scheme === 'https' && desk.said().includes('encrypted'), 'with a certificate it speaks TLS', desk.said());
    const safe = await signIn(desk, phrase);
    check(safe.code === 303 && /Secure/.test(String(safe.headers['set-cookie'])), 'and the session goes over TLS only', JSON.stringify(safe.headers));
    check((await ask(desk, { headers: { Host: `office.example:${desk.port}` } })).code === 401, 'it answers to the name it was given', '');
    const plain = await ask({ ...desk, scheme: 'http' });
    check(plain.code === 0 || plain.code >= 400, 'a request that is not encrypted gets no page', plain.text);
    await stopDesk(desk);
    const half = run(['desk', '--book', book, '--listen', address, '--cert', pem[1]]);
    check(half.status !== 0 && half.stderr.includes('key'), 'a certificate without its key is refused', half.stderr);
    const nonsense = run(['desk', '--book', book, '--cert', book, '--key', book]);
    check(nonsense.status !== 0 && nonsense.stderr.includes('PEM'), 'a file that is no certificate is refused', nonsense.stderr);
} else {
    skip('TLS', 'openssl is not here to make a certificate');
}
execFileSync('rm', ['-r', folder]);
finish();
