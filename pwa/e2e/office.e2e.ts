import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { browserProgram, Device, phoneScreen } from './harness.ts';
import { Network } from './network.ts';
import { Server } from './server.ts';

// Chromium on Linux trusts what the NSS store of its user trusts, and certutil (Debian: libnss3-tools) writes there.
const canTrust = spawnSync('certutil', ['-H']).error === undefined || process.env['CI'] === 'true';

describe('an office with a certificate of its own', () => {
  let office: Server;
  let home: string;
  const open: Device[] = [];

  beforeAll(async () => {
    office = await Server.start({ demo: false, office: true });
    home = mkdtempSync(join(tmpdir(), 'bedwalk-home-'));
  });

  afterAll(async () => {
    for (const device of open) await device.ends();
    await office.close();
    rmSync(home, { recursive: true, force: true });
  });

  /** A phone as its owner's settings leave it: what it trusts lies in the home folder, its storage in a profile. */
  async function phone(profile: string): Promise<Device> {
    const network = await Network.open();
    const context = await chromium.launchPersistentContext(join(home, profile), {
      ...browserProgram,
      ...phoneScreen,
      proxy: network.proxy,
      locale: 'en-GB',
      env: { ...process.env, HOME: home } as Record<string, string>,
    });
    context.setDefaultTimeout(120_000);
    const device = new Device(context, context.pages()[0] ?? (await context.newPage()), network);
    open.push(device);
    return device;
  }

  test('tells a phone that does not trust it yet what to do, in both languages', async () => {
    const strange = await phone('strange');
    await strange.opens(`${office.front}/pair/BCD-FGH-JKM`);
    await strange.sees('This phone does not trust the office yet.');
    for (const kind of ['Android', 'iPhone or iPad', 'Computer']) await strange.page.getByText(kind).first().click();
    expect(await strange.accessibilityFaults('all')).toEqual([]);
    await strange.picture('office-not-trusted-en');
    await strange.page.getByRole('link', { name: 'Español' }).click();
    await strange.sees('Este teléfono todavía no confía en la oficina.');
    expect(await strange.accessibilityFaults('all')).toEqual([]);
    await strange.picture('office-not-trusted-es');
    expect(await strange.page.getByRole('link', { name: 'Continuar a Bedwalk' }).isVisible()).toBe(false);
    expect(strange.troubles).toEqual([]);
  });

  // Left out where certutil is not installed, unless it must be.
  test.skipIf(!canTrust)('lets a phone that trusts it pair, and then open out of range', async () => {
    const answer = await fetch(`${office.front}/bedwalk-office.crt`);
    const file = join(home, 'bedwalk-office.crt');
    writeFileSync(file, new Uint8Array(await answer.arrayBuffer()));
    const store = join(home, '.pki', 'nssdb');
    mkdirSync(store, { recursive: true });
    execFileSync('certutil', ['-d', `sql:${store}`, '-N', '--empty-password']);
    execFileSync('certutil', ['-d', `sql:${store}`, '-A', '-t', 'C,,', '-n', 'office', '-i', file]);

    const scout = await phone('trusting');
    await scout.opens(await office.pairingLink('scout'));
    await scout.sees('This phone trusts the office.');
    await scout.picture('office-trusted-en');
    await scout.page.getByRole('link', { name: 'Continue to Bedwalk' }).click();
    await scout.taps('Pair');
    await scout.page.waitForURL((url) => url.origin === office.url && !url.pathname.startsWith('/pair'));
    await scout.page.locator('main h1').waitFor();
    await scout.isReadyForTheField();
    await scout.goesOutOfRange();
    await scout.isSwitchedOffAndOn(office.url);
    await scout.page.locator('main h1').waitFor();
    expect(await scout.page.evaluate(() => isSecureContext && navigator.serviceWorker.controller !== null)).toBe(true);
    expect(scout.troubles).toEqual([]);
  });
});
