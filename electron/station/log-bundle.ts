import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describeHealth, type HealthReport } from './health.ts';
import { logFolderName } from './log.ts';

/** What looks like a secret although none should be there. The second line of defence. */
const secretShapes: readonly RegExp[] = [
  /-----BEGIN [^-]*PRIVATE KEY-----[\s\S]*?(?:-----END [^-]*PRIVATE KEY-----|$)/g,
  /(?<=[?&]key=)[\w-]+/g,
  /(?<=bandwright=)[\w-]+/g,
  /(?<="(?:pin|newPin|key|privateKey|cookie|token|password|hashBase64|saltBase64)"\s*:\s*")[^"]*/g,
];

/** A text without what looks like PINs, keys and cookies. */
export function withoutSecrets(text: string): string {
  return secretShapes.reduce((rest, shape) => rest.replaceAll(shape, '[left out]'), text);
}

/** Log, crash reports and the doctor's findings as one text that may be sent to whoever helps. */
export function bundleLog(dataFolder: string, health: HealthReport): string {
  const folder = join(dataFolder, logFolderName);
  const sections = [
    ['doctor', describeHealth(health)],
    ['doctor, for programs', JSON.stringify(health, undefined, 2)],
    ...logFilesOf(folder).map((name) => [name, readFileSync(join(folder, name), 'utf8')]),
  ];
  return sections
    .map(([name, text]) => `===== ${name} =====\n${withoutSecrets(text ?? '').trimEnd()}\n`)
    .join('\n');
}

function logFilesOf(folder: string): readonly string[] {
  try {
    return readdirSync(folder)
      .filter((name) => /\.(log|json)$/.test(name))
      .sort();
  } catch {
    return [];
  }
}
