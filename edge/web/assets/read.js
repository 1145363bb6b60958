// Reads values off a drawing: nearest point under the pointer, or by the arrow keys once the drawing has the focus.
'use strict';
function readable(drawing) {
    const points = [...drawing.querySelectorAll('.d-reading')];
    if (points.length === 0) return;
    const line = document.createElement('p');
    line.className = 'read-off soft';
    line.setAttribute('role', 'status');
    drawing.after(line);
    drawing.setAttribute('tabindex', '0');
    let here = -1;
    const show = (i) => {
        if (here >= 0) points[here].classList.remove('here');
        here = Math.max(0, Math.min(points.length - 1, i));
        points[here].classList.add('here');
        line.textContent = points[here].dataset.reading;
    };
    drawing.addEventListener('pointermove', (event) => {
        const box = drawing.getBoundingClientRect();
        const scale = drawing.viewBox.baseVal.width / box.width;
        const x = (event.clientX - box.left) * scale;
        const y = (event.clientY - box.top) * scale;
        let best = 0;
        let least = Infinity;
        points.forEach((p, i) => {
            const d = Math.hypot(p.cx.baseVal.value - x, 0.3 * (p.cy.baseVal.value - y));
            if (d < least) {
                least = d;
                best = i;
            }
        });
        show(best);
    });
    drawing.addEventListener('keydown', (event) => {
        const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
        if (event.key === 'Home') show(0);
        else if (event.key === 'End') show(points.length - 1);
        else if (step) show(here < 0 ? 0 : here + step);
        else return;
        event.preventDefault();
    });
}
document.querySelectorAll('svg.drawing').forEach(readable);

// An hour earlier or later: only the drawing of the day is exchanged, and one stays where one is.
document.addEventListener('click', async (event) => {
    const link = event.target.closest('#earlier, #later');
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    try {
        const answer = await fetch(link.href);
        const other = new DOMParser().parseFromString(await answer.text(), 'text/html').getElementById('day');
        if (!answer.ok || !other) throw new Error('no day in the answer');
        document.getElementById('day').replaceWith(document.importNode(other, true));
        document.querySelectorAll('#day svg.drawing').forEach(readable);
        document.getElementById(link.id).focus();
    } catch {
        location.href = link.href;
    }
});

// A page that waits for a plan asks again by itself, unless somebody may be typing.
if (document.getElementById('again') && !document.querySelector('form')) setTimeout(() => location.reload(), 2000);
