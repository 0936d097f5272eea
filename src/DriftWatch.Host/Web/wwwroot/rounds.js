// A round without network: readings are corrected here by the table that came with the page, kept on the device, and sent
// when the service can be reached. Each entry has an id of its own, so one that is sent twice is one record.
(() => {
  'use strict';
  const round = document.getElementById('round');
  if (!round || !window.indexedDB) return;
  const units = JSON.parse(round.dataset.units);
  const meanings = JSON.parse(round.dataset.meanings);
  const kept = document.getElementById('kept');
  const list = document.getElementById('entries-list');
  const state = document.getElementById('entries-state');
  const section = document.getElementById('entries');

  // The finding of a reading; null off the table.
  const find = (table, pascals, kelvins) => {
    const place = (value, lowest, step, count) => {
      const at = (value - lowest) / step;
      if (!(at >= 0 && at <= count - 1)) return null;
      const index = Math.min(Math.floor(at), count - 2);
      return { index, share: at - index };
    };
    const absolute = pascals + table.ambientPa;
    const p = place(absolute, table.lowestPa, table.stepPa, table.pressures);
    const t = place(kelvins, table.lowestK, table.stepK, table.temperatures);
    if (!p || !t) return null;
    const at = values => {
      const low = p.index * table.temperatures + t.index;
      const high = low + table.temperatures;
      const one = values[low] + t.share * (values[low + 1] - values[low]);
      const other = values[high] + t.share * (values[high + 1] - values[high]);
      return one + p.share * (other - one);
    };
    const gauge = at(table.ratios) * absolute * table.referenceK / kelvins - table.ambientPa;
    const half = at(table.expandedPa);
    const meaning = gauge + half < table.lowerPa ? 'BelowLowerLimit'
      : gauge - half > table.upperPa ? 'AboveUpperLimit'
      : gauge - half < table.lowerPa ? 'AtLowerLimit'
      : gauge + half > table.upperPa ? 'AtUpperLimit'
      : 'WithinLimits';
    return { gauge, half, meaning };
  };

  const reading = form => {
    const number = name => form.elements[name].value.trim() === '' ? NaN : Number(form.elements[name].value);
    const unit = units[form.elements.unit.value];
    return find(JSON.parse(form.dataset.table), number('pressure') * unit.pascalsPerUnit, number('temperature') + 273.15);
  };

  const words = (form, finding) => {
    const symbol = form.elements.unit.value;
    const unit = units[symbol];
    const shown = pascals => (pascals / unit.pascalsPerUnit).toFixed(unit.decimals);
    const table = JSON.parse(form.dataset.table);
    return `Precharge ${shown(finding.gauge)} ± ${shown(finding.half)} ${symbol} gauge at ${(table.referenceK - 273.15).toFixed(1)} °C (k = 2). ${meanings[finding.meaning]}`;
  };

  // What waits on this device.
  const opened = new Promise((good, bad) => {
    const request = indexedDB.open('driftwatch-rounds', 1);
    request.onupgradeneeded = () => request.result.createObjectStore('entries', { keyPath: 'id' });
    request.onsuccess = () => good(request.result);
    request.onerror = () => bad(request.error);
  });
  const store = async (mode, act) => {
    const database = await opened;
    return new Promise((good, bad) => {
      const transaction = database.transaction('entries', mode, { durability: 'strict' });
      const request = act(transaction.objectStore('entries'));
      transaction.oncomplete = () => good(request.result);
      transaction.onerror = transaction.onabort = () => bad(transaction.error);
    });
  };
  const all = () => store('readonly', entries => entries.getAll());
  const put = entry => store('readwrite', entries => entries.put(entry));
  const drop = id => store('readwrite', entries => entries.delete(id));

  // A time that is none is told as it was typed: the service refuses it, and the list goes on.
  const moment = at => {
    const date = new Date(at);
    return Number.isNaN(date.getTime()) ? at : `${date.toISOString().slice(0, 16).replace('T', ' ')} UTC`;
  };

  const show = async () => {
    const entries = await all();
    section.hidden = entries.length === 0;
    list.replaceChildren(...entries.map(entry => {
      const item = document.createElement('li');
      item.dataset.state = entry.state;
      const told = { waiting: 'waits on this device', sent: 'is on record', refused: 'was refused', conflict: 'is in conflict' }[entry.state];
      item.append(`${entry.fields.vessel}, ${moment(entry.fields.at)}: ${entry.words} This check ${told}.${entry.why ? ' ' + entry.why : ''} `);
      if (entry.state !== 'waiting') {
        const button = document.createElement('button');
        button.type = 'button';
        button.className = 'quiet';
        button.textContent = entry.state === 'sent' ? 'Take off the list' : 'Discard';
        button.setAttribute('aria-label', `${button.textContent}: check of ${entry.fields.vessel}`);
        button.addEventListener('click', async () => { await drop(entry.id); await show(); });
        item.append(button);
      }
      return item;
    }));
    const waiting = entries.filter(entry => entry.state === 'waiting').length;
    state.textContent = waiting === 0 ? 'Nothing waits to be sent.' : `${waiting} ${waiting === 1 ? 'check waits' : 'checks wait'} to be sent.`;
  };

  // Sends what waits; says what hinders it.
  const sendWaiting = async () => {
    const waiting = (await all()).filter(entry => entry.state === 'waiting');
    if (waiting.length === 0) return '';
    // A form token ages; the one of a kept page may be too old.
    const answer = await fetch('/rounds/token', { headers: { Accept: 'application/json' }, redirect: 'manual', cache: 'no-store' });
    if (!answer.ok) return ' Sign in as a technician, then send again.';
    const { field, token } = await answer.json();
    for (const entry of waiting) {
      // A time of this device's clock is set right by when the device sends; one that somebody gave stands.
      const sent = entry.given ? {} : { sent: new Date().toISOString() };
      const body = new URLSearchParams({ ...entry.fields, ...sent, id: entry.id, [field]: token });
      const said = await fetch('/rounds/checks', { method: 'POST', body, headers: { Accept: 'application/json' }, redirect: 'manual' });
      if (said.status === 401 || said.status === 403 || said.type === 'opaqueredirect') {
        return ' The service did not take them from this sign-in: sign in as a technician, then send again.';
      }
      if (said.status >= 500 || said.status === 429) return '';
      const result = await said.json();
      entry.state = said.ok ? 'sent' : said.status === 409 ? 'conflict' : 'refused';
      entry.why = said.ok ? (result.note ?? '') : (result.faults ?? []).join(' ');
      await put(entry);
    }
    return '';
  };

  // Whoever asks while others are being sent is served after them: what was entered meanwhile would wait for the next to ask.
  let sending = false;
  let asked = false;
  const send = async () => {
    asked = true;
    if (sending) return;
    sending = true;
    let hindrance = '';
    while (asked) {
      asked = false;
      hindrance = await sendWaiting().catch(() => ''); // No network: they go on waiting.
    }
    sending = false;
    await show().catch(() => {});
    state.textContent += hindrance;
  };

  for (const form of document.querySelectorAll('form.work')) {
    const told = form.querySelector('.finding');
    const tell = () => {
      const finding = reading(form);
      told.textContent = finding ? words(form, finding) : '';
    };
    form.addEventListener('input', tell);
    tell(); // What was typed before this script came.
    // A second press while the first is being kept would be a check of its own.
    let keeping = false;
    form.addEventListener('submit', async event => {
      event.preventDefault();
      if (keeping) return;
      keeping = true;
      try {
        const finding = reading(form);
        const fields = Object.fromEntries([...new FormData(form)].filter(([name]) => !name.startsWith('__') && name !== 'id'));
        const given = (fields.at ?? '') !== '';
        // The field is labelled UTC: without the Z a browser takes its own zone.
        fields.at = given ? `${fields.at}Z` : new Date().toISOString();
        const said = finding ? words(form, finding) : 'The reading lies outside the table of this page; the service works it out.';
        await put({ id: crypto.randomUUID(), fields, given, words: said, state: 'waiting', why: '' });
        form.reset();
        told.textContent = said;
      } catch {
        // A full disk, a private window: what cannot be kept here goes straight to the service.
        if (navigator.onLine) {
          form.submit();
        } else {
          told.textContent = 'This browser could not keep the check, and there is no network. Write it down, and enter it again later.';
        }
        return;
      } finally {
        keeping = false;
      }
      await show();
      section.scrollIntoView({ block: 'nearest' });
      await send();
    });
  }

  document.getElementById('entries-send').addEventListener('click', send);
  window.addEventListener('online', send);
  show().then(send, () => {}); // Where nothing can be kept, nothing waits.

  if ('serviceWorker' in navigator) {
    navigator.serviceWorker.register(round.dataset.worker, { scope: '/rounds' }).then(async registration => {
      const worker = registration.active ?? await new Promise(good => {
        const coming = registration.installing ?? registration.waiting;
        coming.addEventListener('statechange', () => { if (coming.state === 'activated') good(coming); });
        if (coming.state === 'activated') good(coming);
      });
      const channel = new MessageChannel();
      channel.port1.onmessage = ({ data }) => {
        kept.textContent = data.kept ? 'This page is kept on this device and works without network.' : 'This page could not be kept for work without network.';
        kept.dataset.kept = data.kept;
      };
      const assets = [...document.querySelectorAll('link[href^="/assets/"], script[src^="/assets/"]')].map(element => element.href ?? element.src);
      worker.postMessage({ keep: [location.href, ...assets.map(address => new URL(address, location).href)] }, [channel.port2]);
    }).catch(() => { kept.textContent = 'This browser does not keep pages for work without network.'; });
  }
})();
