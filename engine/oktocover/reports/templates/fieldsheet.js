// The field sheet on a phone: entries are kept in the browser, and saved as a file of answers. Nothing is sent anywhere.
(() => {
  'use strict';
  const sheet = JSON.parse(document.getElementById('data').dataset.sheet);
  const SAID = ['cannot reach', 'not there', 'looks wrong', 'ask'];
  const find = (id) => document.getElementById(id);
  const questions = new Map(sheet.questions.map((one) => [one.id, one]));
  document.documentElement.classList.add('scripted');

  // what is kept

  const store = (() => {
    try {
      localStorage.setItem(sheet.store + '?', '1');
      localStorage.removeItem(sheet.store + '?');
      return localStorage;
    } catch (_) {
      return null;
    }
  })();
  const now = new Date();
  const today = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, '0')).join('-');
  const kept = { by: '', day: today > sheet.day ? today : sheet.day, entries: {}, saved: {} };
  try {
    const before = store && JSON.parse(store.getItem(sheet.store) || 'null');
    if (before && typeof before === 'object' && before.entries) Object.assign(kept, before);
  } catch (_) { /* what cannot be read is begun anew */ }
  let keeps = Boolean(store);

  function keep() {
    if (!store) return;
    try {
      store.setItem(sheet.store, JSON.stringify(kept));
    } catch (_) {
      keeps = false;
      tellKept();
    }
  }

  function tellKept() {
    find('kept').textContent = keeps
      ? ''
      : 'This browser keeps nothing of this page (a private window, or its storage is shut): save the file after each room, before you close the page.';
  }

  const entry = (id) => (kept.entries[id] ??= {});

  // parts of a page

  function make(tag, about = {}, ...inside) {
    const node = document.createElement(tag);
    for (const [name, value] of Object.entries(about)) {
      if (name === 'on') for (const [event, act] of Object.entries(value)) node.addEventListener(event, act);
      else if (value !== undefined && value !== false) node.setAttribute(name, value === true ? '' : value);
    }
    node.append(...inside.filter((one) => one !== null));
    return node;
  }

  let numbered = 0;
  function labelled(text, input, about = {}) {
    input.id = 'i' + (numbered += 1);
    return make('div', about, make('label', { for: input.id }, text), input);
  }

  function button(text, pressed, act, about = {}) {
    const state = pressed === null ? {} : { 'aria-pressed': String(pressed) };
    return make('button', { type: 'button', ...state, ...about, on: { click: act } }, text);
  }

  function press(group, wanted) {
    for (const one of group) one.setAttribute('aria-pressed', String(one.dataset.value === wanted));
  }

  // Controls. Each has `node`, and `read()`: the value as it would stand in the site file, '' where there is none.
  // What was put in is kept in `raw`, an object of the entry.

  function choice(words, raw, changed, name, shown = (word) => word) {
    const group = words.map((word) =>
      button(shown(word), raw.word === word, () => {
        raw.word = raw.word === word ? '' : word;
        press(group, raw.word);
        changed();
      }, { 'data-value': word }));
    return { node: make('div', { class: 'row', role: 'group', 'aria-label': name }, ...group), read: () => raw.word || '', clear: () => { raw.word = ''; press(group, ''); } };
  }

  function choose(words, raw, changed, name) {
    const input = make('select', { on: { change: () => { raw.word = input.value; changed(); } } },
      make('option', { value: '' }, ''), ...words.map((word) => make('option', { value: word }, word)));
    input.value = raw.word || '';
    return { node: labelled(name, input), read: () => raw.word || '', clear: () => { raw.word = ''; input.value = ''; } };
  }

  function typed(raw, changed, name, about = {}) {
    const input = make('input', { autocomplete: 'off', class: 'wide', ...about, on: { input: () => { raw.text = input.value; changed(); } } });
    input.value = raw.text || '';
    return { node: labelled(name, input), read: () => (raw.text || '').trim() };
  }

  function figure(raw, key, changed, name, mode) {
    const input = make('input', { inputmode: mode, class: 'figure', autocomplete: 'off', on: { input: () => { raw[key] = input.value; changed(); } } });
    input.value = raw[key] || '';
    return labelled(name, input);
  }

  const BOUNDS = ['', 'at least ', 'at most '];
  function bound(raw, changed) {
    const input = make('select', { on: { change: () => { raw.bound = input.value; changed(); } } },
      ...BOUNDS.map((word) => make('option', { value: word }, word.trim() || 'exactly')));
    input.value = raw.bound || '';
    return labelled('it is', input);
  }

  function reduced(sixteenths) {
    let above = sixteenths, below = 16;
    while (above && above % 2 === 0) { above /= 2; below /= 2; }
    return above ? above + '/' + below : '';
  }

  function feetAndInches(raw) {
    const feet = (raw.ft || '').trim(), inches = (raw.inch || '').trim(), part = reduced(Number(raw.six || 0));
    if (!feet && !inches && !part) return '';
    const small = part && (!inches || Number(inches) === 0) ? part + ' in' : part ? inches + '-' + part + ' in' : inches ? inches + ' in' : '';
    return [feet && (Number(feet) !== 0 || !small) ? feet + ' ft' : '', small].filter(Boolean).join(' ');
  }

  function length(raw, changed, name, bounded) {
    const names = Array.from({ length: 16 }, (_, at) => reduced(at) || '0');
    const open = button('', null, () => grid.toggleAttribute('hidden') || open.setAttribute('aria-expanded', String(!grid.hidden)), { 'aria-expanded': 'false' });
    const parts = names.map((text, at) =>
      button(text, Number(raw.six || 0) === at, () => {
        raw.six = at;
        grid.hidden = true;
        open.setAttribute('aria-expanded', 'false');
        show();
        open.focus();
        changed();
      }, { 'data-value': String(at), 'aria-label': text === '0' ? 'no fraction' : text + ' inch' }));
    const grid = make('div', { class: 'sixteenths', role: 'group', 'aria-label': 'fraction of an inch', hidden: true }, ...parts);
    const show = () => { open.textContent = 'fraction: ' + (reduced(Number(raw.six || 0)) || 'none'); press(parts, String(raw.six || 0)); };
    show();
    return {
      node: make('div', { class: 'slot', role: 'group', 'aria-label': name },
        make('div', { class: 'row' }, bounded ? bound(raw, changed) : null, figure(raw, 'ft', changed, 'feet', 'numeric'), figure(raw, 'inch', changed, 'inches', 'decimal'), open), grid),
      read: () => { const text = feetAndInches(raw); return text && (bounded ? raw.bound || '' : '') + text; },
    };
  }

  function amount(units, raw, changed, name, bounded) {
    if (raw.unit === undefined) raw.unit = units[0] || '';
    const unit = units.length > 1
      ? make('select', { on: { change: () => { raw.unit = unit.value; changed(); } } }, ...units.map((one) => make('option', { value: one }, one || 'plain number')))
      : null;
    if (unit) unit.value = raw.unit;
    const number = figure(raw, 'n', changed, units.length === 1 && units[0] ? units[0] : 'figure', 'decimal');
    return {
      node: make('div', { class: 'row', role: 'group', 'aria-label': name }, bounded ? bound(raw, changed) : null, number, unit ? labelled('unit', unit) : null),
      read: () => { const text = (raw.n || '').trim(); return text && ((bounded ? raw.bound || '' : '') + text + ' ' + raw.unit).trim(); },
    };
  }

  function measured(q, raw, changed, bounded = true) {
    const free = (raw.free ??= {}), kind = (raw.kind ??= {});
    const simple = q.form === 'length' || q.dimension === 'length' ? length(kind, changed, q.fact, bounded) : amount(q.units, kind, changed, q.fact, bounded);
    const words = q.words.length && bounded ? choice(q.words, (raw.words ??= {}), changed, 'or') : null;
    const text = typed(free, changed, 'as you would write it: ' + q.example);
    const other = button('', null, () => { raw.typing = !raw.typing; show(); changed(); });
    const show = () => { simple.node.hidden = Boolean(raw.typing); text.node.hidden = !raw.typing; other.textContent = raw.typing ? 'Back to the buttons' : 'Type it'; };
    show();
    return {
      node: make('div', { class: 'slot' }, simple.node, text.node, make('div', { class: 'row' }, words ? words.node : null, other)),
      read: () => (words && words.read()) || (raw.typing ? text.read() : simple.read()),
    };
  }

  function span(q, raw, changed) {
    const least = measured(q, (raw.least ??= {}), changed, false), most = measured(q, (raw.most ??= {}), changed, false);
    return {
      node: make('div', { class: 'each' }, make('strong', {}, 'The least of them'), least.node, make('strong', {}, 'The largest of them'), most.node),
      read: () => {
        const low = least.read(), high = most.read();
        return low && high ? (low === high ? low : 'from ' + low + ' to ' + high) : '';
      },
    };
  }

  function day(raw, changed, withTime) {
    const date = make('input', { type: 'date', on: { input: () => { raw.date = date.value; changed(); } } });
    const time = make('input', { type: 'time', step: '1', on: { input: () => { raw.time = time.value; changed(); } } });
    date.value = raw.date || ''; time.value = raw.time || '';
    return {
      node: make('div', { class: 'row' }, labelled('day', date), withTime ? labelled('clock', time) : null),
      read: () => (raw.date && (!withTime || raw.time) ? [raw.date, withTime ? raw.time : ''].join(' ').trim() : ''),
    };
  }

  function names(q, raw, changed) {
    if (!q.ids.length && !q.several) return typed(raw, changed, q.fact);
    if (!q.several) return q.ids.length > 8 ? choose(q.ids, raw, changed, q.fact) : choice(q.ids, raw, changed, q.fact);
    const picked = (raw.picked ??= []);
    const group = q.ids.map((id) =>
      button(id, picked.includes(id), (event) => {
        const at = picked.indexOf(id);
        if (at < 0) picked.push(id); else picked.splice(at, 1);
        raw.none = '';
        none.setAttribute('aria-pressed', 'false');
        event.currentTarget.setAttribute('aria-pressed', String(at < 0));
        changed();
      }));
    const none = button('none of them', raw.none === 'yes', () => {
      raw.none = raw.none === 'yes' ? '' : 'yes';
      picked.length = 0;
      for (const one of group) one.setAttribute('aria-pressed', 'false');
      none.setAttribute('aria-pressed', String(raw.none === 'yes'));
      changed();
    });
    return { node: make('div', { class: 'row', role: 'group', 'aria-label': q.fact }, ...group, none), read: () => (raw.none === 'yes' ? [] : picked.length ? picked.slice() : '') };
  }

  function whole(q, raw, changed) {
    const said = choice(['yes', 'no'], raw, changed, 'whole', (word) => (word === 'yes' ? 'Yes, that is all' : 'No, some are missing'));
    const count = figure(raw, 'count', changed, 'how many there are (' + q.count + ' are written)', 'numeric');
    return { node: make('div', { class: 'slot' }, said.node, count), read: said.read };
  }

  const FEW = 8;
  function control(q, raw, changed, form = q.form) {
    if (form === 'yes or no') return choice(['yes', 'no'], raw, changed, q.fact, (word) => (word === 'yes' ? 'Yes' : 'No'));
    if (form === 'word') return q.words.length > FEW ? choose(q.words, raw, changed, q.fact) : choice(q.words, raw, changed, q.fact);
    if (form === 'length' || form === 'quantity') return measured(q, raw, changed);
    if (form === 'span') return span(q, raw, changed);
    if (form === 'ids') return names(q, raw, changed);
    if (form === 'day' || form === 'moment') return day(raw, changed, form === 'moment');
    if (form === 'whole') return whole(q, raw, changed);
    return typed(raw, changed, q.fact);
  }

  // of many at once: one answer for all, with exceptions that have answers of their own

  function many(q, kept, changed) {
    const raw = (kept.raw ??= {}), except = (kept.except ??= {});
    const all = q.limit
      ? choice(['yes', 'no'], raw, () => { show(); changed(); }, q.fact, (word) => (word === 'yes' ? 'Yes, at every one' : 'Not at every one'))
      : control(q, raw, changed);
    const form = q.form === 'span' ? 'quantity' : q.form === 'yes or no' && q.limit ? 'quantity' : q.form;
    const list = make('div', { class: 'each', hidden: true });
    const more = button('Some are otherwise', null, () => { kept.open = !kept.open; show(); }, { class: 'otherwise' });
    const own = {};
    for (const element of q.elements) {
      const place = make('div');
      const box = make('input', { type: 'checkbox', on: { change: () => { if (box.checked) except[element] ??= {}; else delete except[element]; fill(); changed(); } } });
      box.checked = element in except;
      const label = make('label', { class: 'tick' }, box, element);
      const fill = () => {
        place.replaceChildren();
        delete own[element];
        if (!(element in except)) return;
        const one = control({ ...q, fact: element + ': ' + q.fact }, except[element], changed, form);
        own[element] = one;
        place.append(one.node);
      };
      fill();
      list.append(label, place);
    }
    const show = () => {
      list.hidden = !(kept.open || Object.keys(except).length || (q.limit && raw.word === 'no'));
      more.setAttribute('aria-expanded', String(!list.hidden));
      more.hidden = Boolean(q.limit);
    };
    show();
    return {
      node: make('div', { class: 'slot' }, all.node, more, list),
      read: () => (q.limit ? (raw.word === 'yes' || (raw.word === 'no' && Object.keys(except).length) ? q.limit : '') : all.read()),
      except: () => Object.fromEntries(Object.keys(except).map((element) => [element, own[element] ? own[element].read() : ''])),
    };
  }

  // one question

  const built = new Map();
  function build(field) {
    const q = questions.get(field.dataset.ask), own = entry(q.id), slot = field.querySelector('.slot');
    const changed = () => { keep(); refresh(q.id); };
    const made = q.elements.length > 1 ? many(q, own, changed) : control(q, (own.raw ??= {}), changed);
    const reads = make('p', { class: 'reads', 'aria-live': 'polite' });
    const words = SAID.map((word) =>
      button(word, own.said === word, () => {
        own.said = own.said === word ? '' : word;
        press(words, own.said);
        note.hidden = !own.said && q.form !== 'whole';
        changed();
      }, { 'data-value': word }));
    const why = make('input', { class: 'wide', autocomplete: 'off', on: { input: () => { own.note = why.value; changed(); } } });
    why.value = own.note || '';
    const note = labelled('a note', why);
    note.hidden = !own.said && q.form !== 'whole';
    slot.append(made.node, reads, make('div', { class: 'row instead', role: 'group', 'aria-label': 'no answer, or a doubtful one' }, ...words), note);
    built.set(q.id, { field, made, reads });
  }

  function answersOf(q) {
    const own = entry(q.id), { made } = built.get(q.id);
    const value = made.read(), gone = ['cannot reach', 'not there'].includes(own.said);
    const has = !gone && (Array.isArray(value) || Boolean(value));
    const extra = { ...(own.said ? { said: own.said } : {}), ...(own.note ? { note: own.note } : {}) };
    if (q.form === 'whole') {
      const count = (own.raw.count || '').trim();
      return has || own.said ? [{ ...q.target, ...(has ? { value } : {}), ...(has && count ? { count } : {}), ...extra }] : [];
    }
    const known = q.known ? { known: q.known } : {};
    if (q.elements.length === 1) {
      const was = has && q.was && q.was !== value ? { was: q.was } : {};
      return has || own.said ? [{ ...q.target, ...(has ? { value, ...known, ...was } : {}), ...extra }] : [];
    }
    const except = gone ? {} : made.except(), names = Object.keys(except);
    const rest = q.elements.filter((one) => !names.includes(one));
    const about = (some) => ({ ...q.target, element: some.length === 1 ? some[0] : some });
    const found = [];
    if (rest.length && (has || own.said)) {
      const look = has ? { value, ...known, ...(q.how ? { how: q.how } : {}), count: String(q.elements.length) } : {};
      found.push({ ...about(rest), ...look, ...(has && names.length ? { except: names } : {}), ...extra });
    }
    for (const name of names) {
      const one = except[name];
      const wrong = { said: 'looks wrong', note: 'not as the others' };
      found.push({ ...about([name]), ...(one && one.length ? { value: one, ...known } : wrong) });
    }
    if (!found.length && q.limit && own.raw.word === 'no') found.push({ ...about(rest), said: 'looks wrong', note: 'not at every one' });
    return found;
  }

  // how far it is

  const plain = (value) => (Array.isArray(value) ? (value.length ? value.join(', ') : 'none') : value);
  function paint(id) {
    const q = questions.get(id), { field, made, reads } = built.get(id);
    const found = answersOf(q), said = entry(id).said;
    const answered = found.some((one) => 'value' in one);
    field.dataset.state = answered ? 'answered' : found.length ? 'said' : '';
    const value = made.read();
    reads.textContent = ['length', 'quantity', 'span', 'moment'].includes(q.form) && answered ? 'Reads: ' + plain(value) : '';
    const why = field.querySelector('.why');
    why.hidden = !found.length;
    if (!found.length) why.open = false;
    if (said && !found.length) field.dataset.state = 'said';
    field.querySelector('.filled').textContent = answered ? 'Written: ' + plain(value) + (said ? ' (' + said + ')' : '') : '';
  }

  function refresh(id) {
    paint(id);
    total();
  }

  const written = (q) => JSON.stringify(answersOf(q));
  const done = (q) => answersOf(q).length > 0;
  const unsaved = (some) => some.filter((q) => written(q) !== (kept.saved[q.id] || '[]')).length;

  function total() {
    const all = [...questions.values()], open = unsaved(all);
    find('progress').textContent = all.filter(done).length + ' of ' + all.length + ' written';
    find('unsaved').textContent = open ? open + ' not saved' : all.some(done) ? 'all saved' : 'nothing to save yet';
    for (const room of document.querySelectorAll('.room')) {
      const own = [...room.querySelectorAll('.ask')].map((one) => questions.get(one.dataset.ask));
      const count = document.querySelector('[data-count="' + room.id + '"]');
      if (count) count.textContent = own.filter(done).length + ' of ' + own.length;
      const waits = unsaved(own);
      room.querySelector('[data-unsaved]').textContent = waits ? waits + ' of this room not saved' : '';
    }
    find('yaml').value = file();
  }

  // the file

  const PLAIN = /^[A-Za-z0-9(][A-Za-z0-9 .\/_()+;=-]*$/;
  const text = (value) => (Array.isArray(value) ? '[' + value.map(text).join(', ') + ']' : PLAIN.test(value) && value.trim() === value ? value : JSON.stringify(value));
  function file() {
    const found = [...questions.values()].flatMap(answersOf);
    const lines = found.map((one) => '  - {' + Object.entries(one).map(([key, value]) => key + ': ' + text(value)).join(', ') + '}');
    return [
      '# yaml-language-server: $schema=schemas/answers.schema.json',
      'site: ' + text(sheet.site), 'by: ' + text(kept.by.trim() || '?'), 'day: ' + kept.day,
      'answers:' + (lines.length ? '' : ' []'), ...lines, '',
    ].join('\n');
  }

  const slug = (value) => value.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 40);
  function fileName() {
    const now = new Date(), clock = String(now.getHours()).padStart(2, '0') + String(now.getMinutes()).padStart(2, '0');
    return ['answers', slug(sheet.site), kept.day, slug(kept.by), clock].filter(Boolean).join('-') + '.yaml';
  }

  const say = (sentence) => { find('said').textContent = sentence; };
  function save() {
    const missing = !kept.by.trim() ? 'by' : !/^\d{4}-\d{2}-\d{2}$/.test(kept.day) ? 'day' : '';
    if (missing) {
      find('kept').textContent = missing === 'by' ? 'Write your initials first: the file is named with them.' : 'Write the day of the readings first.';
      find(missing).focus();
      return;
    }
    const link = make('a', { href: URL.createObjectURL(new Blob([file()], { type: 'application/yaml' })), download: fileName() });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
    for (const q of questions.values()) kept.saved[q.id] = written(q);
    keep();
    tellKept();
    total();
    say('Saved as ' + link.download + '.');
  }

  // begin

  for (const field of document.querySelectorAll('.ask')) build(field);
  for (const id of questions.keys()) paint(id);
  total();
  for (const name of ['by', 'day']) {
    find(name).value = kept[name];
    find(name).addEventListener('input', (event) => { kept[name] = event.target.value; keep(); total(); });
  }
  for (const one of document.querySelectorAll('.save')) one.addEventListener('click', save);
  find('next').addEventListener('click', () => {
    const fields = [...document.querySelectorAll('.ask')];
    const here = fields.findIndex((one) => one.contains(document.activeElement));
    const next = [...fields.slice(here + 1), ...fields.slice(0, here + 1)].find((one) => !done(questions.get(one.dataset.ask)));
    if (!next) { say('Nothing is blank.'); return; }
    next.scrollIntoView({ block: 'center' });
    const first = next.querySelector('button, input, select');
    if (first) first.focus({ preventScroll: true });
  });
  find('copy').addEventListener('click', () => {
    find('yaml').select();
    const copied = navigator.clipboard ? navigator.clipboard.writeText(find('yaml').value) : Promise.reject();
    copied.then(() => say('Copied.'), () => say('Marked: copy it with the menu of the browser.'));
  });
  find('forget').addEventListener('click', () => {
    if (!window.confirm('Forget every answer of this sheet on this device? A saved file stays as it is.')) return;
    if (store) store.removeItem(sheet.store);
    Object.assign(kept, { entries: {}, saved: {} });
    window.removeEventListener('beforeunload', warn);
    location.reload();
  });
  const warn = (event) => { if (unsaved([...questions.values()])) event.preventDefault(); };
  window.addEventListener('beforeunload', warn);
  tellKept();
})();
