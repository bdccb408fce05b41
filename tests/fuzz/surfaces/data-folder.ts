import { generateKeyPairSync, randomUUID } from 'node:crypto';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { lookAtSigningKey, signingKeyFile, signingKeyOf } from '../../../electron/station/signing-key.ts';
import { backupPlanFile, readBackupPlan } from '../../../electron/station/store/backup-plan.ts';
import { StoreFault } from '../../../electron/station/store/store-fault.ts';
import { createSecret, lockKey, readWrappedKey, unlockKey } from '../../../electron/station/wrapped-key.ts';
import { hostileTexts, spoiled } from '../mutation.ts';
import { isRefusal } from '../refusal.ts';
import type { Surface } from '../surface.ts';

function temporaryFolder(): string {
  return mkdtempSync(join(tmpdir(), 'bandwright-data-fuzz-'));
}

/** A text with a piece taken out, put in or written over. */
function alteredText(text: string): fc.Arbitrary<string> {
  const place = fc.nat({ max: text.length });
  const piece = fc.oneof(fc.constantFrom(...hostileTexts), fc.string({ unit: 'binary', maxLength: 20 }));
  return fc
    .tuple(place, fc.nat({ max: 80 }), piece)
    .map(([start, length, put]) => text.slice(0, start) + put + text.slice(start + length));
}

/** The file of the signing key, plain and locked, as a failing disk or a stranger leaves it. */
export const keyFileSurface: Surface = {
  name: 'signing key file',
  holds: 'named as unusable, or tells a key; a locked one opens to the very key or not at all',
  async open() {
    const folder = temporaryFolder();
    const { privateKey } = generateKeyPairSync('ed25519');
    const { publicKey, keyId } = signingKeyOf(privateKey);
    const secret = createSecret();
    const locked = lockKey(privateKey, publicKey, randomUUID(), secret);
    const plain = privateKey.export({ type: 'pkcs8', format: 'pem' }).toString();
    const [first, begin, ...rest] = locked.split('\n');
    const lockedAnew = spoiled([readWrappedKey(locked)]).map((inner) =>
      [first, begin, Buffer.from(JSON.stringify(inner) ?? '').toString('base64'), rest.at(-2), ''].join('\n'),
    );
    return {
      property: fc.property(fc.oneof(alteredText(plain), alteredText(locked), lockedAnew), (text) => {
        writeFileSync(join(folder, signingKeyFile), text);
        try {
          lookAtSigningKey(folder);
        } catch (error) {
          if (!(error instanceof StoreFault) || error.code !== 'key_unusable') return false;
        }
        const wrapped = readWrappedKey(text);
        const opened = wrapped === undefined ? undefined : unlockKey(wrapped, secret);
        return opened === undefined || signingKeyOf(opened).keyId === keyId;
      }),
      close: async () => rmSync(folder, { recursive: true }),
    };
  },
};

/** The plan of backups, as somebody writes it by hand. */
export const backupPlanSurface: Surface = {
  name: 'backup.json',
  holds: 'refused with field and sentence, or a target, hours and a number within their limits',
  async open() {
    const folder = temporaryFolder();
    const plan = { target: '/backups', everyHours: 24, keep: 14 };
    const texts = fc.oneof(
      alteredText(JSON.stringify(plan)),
      spoiled([plan]).map((document) => JSON.stringify(document) ?? ''),
    );
    return {
      property: fc.property(texts, (text) => {
        writeFileSync(join(folder, backupPlanFile), text);
        const read = readBackupPlan(folder);
        if (!read.ok) return isRefusal(read.error);
        return read.value !== null && read.value.everyHours <= 720 && read.value.keep <= 1000;
      }),
      close: async () => rmSync(folder, { recursive: true }),
    };
  },
};
