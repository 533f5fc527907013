// Debian's Chromium, driven by playwright-core from the folder of node modules that the tests were given.
import { createRequire } from 'node:module';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking',
  '--disable-component-update', '--disable-sync'];

export class Browser {
  static async start(modules, program = '/usr/bin/chromium') {
    const require = createRequire(path.join(path.resolve(modules), 'package.json'));
    const { chromium } = require('playwright-core');
    const browser = new Browser();
    browser.axeSource = require('axe-core').source;
    browser.chromium = await chromium.launch({ executablePath: program, args: FLAGS, headless: true });
    return browser;
  }

  // A page of a file, with everything that it complains of or asks the network for written down in `faults`; with
  // `beside`, a page, one more window of the same user.
  async open(file, { width = 1280, height = 900, dark = false, storage = true, still = false, beside = null } = {}) {
    const context = beside ? beside.context() : await this.chromium.newContext({
      viewport: { width, height }, colorScheme: dark ? 'dark' : 'light', hasTouch: true, acceptDownloads: true,
      reducedMotion: still ? 'reduce' : 'no-preference',
    });
    const page = await context.newPage();
    page.faults = [];
    page.on('console', (message) => page.faults.push(`console: ${message.text()}`));
    page.on('pageerror', (error) => page.faults.push(`script: ${error.message}`));
    page.on('request', (request) => {
      if (!/^(file|data|blob):/.test(request.url())) page.faults.push(`asks for ${request.url()}`);
    });
    if (!storage)
      await page.addInitScript(() => {
        Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('blocked', 'SecurityError'); } });
      });
    await page.goto(pathToFileURL(path.resolve(file)).href);
    return page;
  }

  async stop() {
    await this.chromium.close();
  }
}

// Checks that go on after a failure and say all of them at the end.
export class Checks {
  constructor() {
    this.failures = [];
    this.count = 0;
  }
  that(holds, words) {
    ++this.count;
    if (!holds) this.failures.push(words);
  }
  same(seen, wished, words) {
    const [a, b] = [seen, wished].map((value) => JSON.stringify(value));
    this.that(a === b, `${words}: ${a} instead of ${b}`);
  }
  end(words) {
    if (this.failures.length > 0) {
      console.error(this.failures.join('\n'));
      process.exitCode = 1;
    } else {
      console.log(`${this.count} checks: ${words}`);
    }
  }
}
