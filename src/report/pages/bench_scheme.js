'use strict';
// Light or dark: as the device says, until somebody says otherwise.

const SCHEME_KEY = 'powderplan-scheme';
const schemeButton = document.getElementById('scheme');
const deviceIsDark = window.matchMedia('(prefers-color-scheme: dark)');

function isDark() {
  const said = root.dataset.scheme;
  return said ? said === 'dark' : deviceIsDark.matches;
}
function nameScheme() {
  schemeButton.textContent = isDark() ? 'Light' : 'Dark';
}

const saidScheme = storedText(SCHEME_KEY);
if (saidScheme === 'dark' || saidScheme === 'light') root.dataset.scheme = saidScheme;
schemeButton.addEventListener('click', () => {
  root.dataset.scheme = isDark() ? 'light' : 'dark';
  storeText(SCHEME_KEY, root.dataset.scheme);
  nameScheme();
});
deviceIsDark.addEventListener('change', nameScheme);
nameScheme();
