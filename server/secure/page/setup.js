// Asks by HTTPS whether this phone trusts the office, and shows what is so: any answer at all means that it does.
const state = document.querySelector('.state');

async function look() {
  show('checking');
  try {
    await fetch(state.dataset.check, { cache: 'no-store' });
    show('trusted');
  } catch {
    show('not-yet');
  }
}

function show(what) {
  state.dataset.now = what;
  for (const part of state.querySelectorAll('[data-is]')) part.hidden = part.dataset.is !== what;
}

state.querySelector('button').addEventListener('click', look);
// Whoever comes back from the settings need not press anything.
document.addEventListener('visibilitychange', () => document.visibilityState === 'visible' && look());
await look();
