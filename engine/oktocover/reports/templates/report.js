'use strict';
(() => {
  const form = document.getElementById('filter');
  const shown = document.getElementById('shown');
  const none = document.getElementById('none-shown');
  const parts = [...document.querySelectorAll('.part')];
  const findings = [...document.querySelectorAll('.finding')].map((node) => ({
    node,
    visit: node.parentElement.dataset.visit,
    kind: node.dataset.kind,
    rooms: node.dataset.rooms.split('|'),
    trades: node.dataset.trades.split('|'),
    marks: [],
    text: null,
  }));
  const byNumber = new Map(findings.map((one) => [one.node.dataset.n, one]));
  for (const mark of document.querySelectorAll('.mark')) byNumber.get(mark.dataset.n)?.marks.push(mark);

  const fits = (one, asked, words) => {
    if (asked.visit && one.visit !== asked.visit) return false;
    if (asked.kind && one.kind !== asked.kind) return false;
    if (asked.room && !one.rooms.includes(asked.room)) return false;
    if (asked.trade && !one.trades.includes(asked.trade)) return false;
    if (!words.length) return true;
    one.text ??= one.node.textContent.toLowerCase();
    return words.every((word) => one.text.includes(word));
  };

  const filter = () => {
    const asked = Object.fromEntries(new FormData(form));
    const words = asked.text.toLowerCase().split(/\s+/).filter(Boolean);
    const open = new Set();
    let count = 0;
    for (const one of findings) {
      const there = fits(one, asked, words);
      if (one.node.hidden === there) {
        one.node.hidden = !there;
        for (const mark of one.marks) mark.classList.toggle('dim', !there);
      }
      if (there) { count += 1; open.add(one.visit); }
    }
    const all = count === findings.length;
    for (const part of parts) part.hidden = !all && !open.has(part.dataset.visit);
    none.hidden = count > 0 || !findings.length;
    shown.textContent = `${count} of ${findings.length} shown`;
  };

  const follow = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!target) return;
    if (target.closest('[hidden]')) { form.reset(); filter(); }
    for (let one = target.closest('details'); one; one = one.parentElement.closest('details')) one.open = true;
    if (target.matches('.finding')) target.focus({ preventScroll: true });
    target.scrollIntoView({ block: target.matches('.mark') ? 'center' : 'start', inline: 'center' });
  };

  // What does not scroll is no stop of the keyboard.
  const sized = new ResizeObserver((found) => {
    for (const { target } of found) {
      if (target.scrollWidth > target.clientWidth) target.tabIndex = 0;
      else target.removeAttribute('tabindex');
    }
  });
  for (const one of document.querySelectorAll('.scroll')) sized.observe(one);

  form.hidden = false;
  form.addEventListener('input', filter);
  form.addEventListener('reset', () => setTimeout(filter));
  form.addEventListener('submit', (event) => event.preventDefault());
  addEventListener('hashchange', follow);
  addEventListener('beforeprint', () => { for (const one of document.querySelectorAll('.places, .sheet:not(.meets)')) one.open = true; });
  filter();
  follow();
})();
