import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type HidLack, lackOfHid } from '../../drivers/port/hid-devices.ts';
import type { PortLister } from '../../drivers/port/port-list.ts';
import manifest from '../../package.json' with { type: 'json' };
import { checkClock, checkDatabase, checkHead, checkLastVerify } from './evidence-health.ts';
import { checkDisk, checkFolder, checkHolder } from './folder-health.ts';
import type { HealthCheck, HealthFinding } from './health.ts';
import { checkKey } from './key-health.ts';
import { checkLog } from './log-health.ts';
import { checkHid, checkPorts } from './port-health.ts';
import { checkBackups } from './store/backup-health.ts';
import { schemaVersion } from './store/database.ts';

export interface HealthParts {
  readonly dataFolder: string;
  /** Now, ISO 8601 with offset. */
  readonly at: string;
  readonly listPorts: PortLister;
  /** Default: what the system says. */
  readonly hidLack?: () => Promise<HidLack | null>;
  readonly freeBytes?: (folder: string) => Promise<number>;
}

/** Everything that `doctor` looks at, in the order in which it is printed. */
export function healthChecks(parts: HealthParts): Readonly<Record<string, HealthCheck>> {
  const { dataFolder, at } = parts;
  const always = {
    versions,
    ports: () => checkPorts(parts.listPorts),
    'HID scales': () => checkHid(parts.hidLack ?? lackOfHid),
    'data folder': () => checkFolder(dataFolder),
  };
  if (!existsSync(dataFolder)) return always;
  return {
    ...always,
    disk: () => checkDisk(dataFolder, parts.freeBytes),
    station: () => checkHolder(dataFolder),
    database: () => checkDatabase(dataFolder),
    'signed end': () => checkHead(dataFolder),
    'signing key': () => checkKey(dataFolder),
    clock: () => checkClock(dataFolder, at),
    'last verify': () => checkLastVerify(dataFolder, at),
    backups: () => checkBackups(dataFolder, at),
    log: () => checkLog(dataFolder),
    ...(existsSync(join(dataFolder, 'site.json')) ? { site: () => checkSite(dataFolder, at) } : {}),
  };
}

/** Loaded where a site is configured, and nowhere else. */
async function checkSite(dataFolder: string, at: string): Promise<HealthFinding> {
  return (await import('./site/site-health.ts')).checkSite(dataFolder, at);
}

function versions(): HealthFinding {
  const { node, electron, modules, napi = '' } = process.versions;
  const host = electron === undefined ? `Node ${node}` : `Electron ${electron} (Node ${node})`;
  const details = {
    bandwright: manifest.version,
    schema: schemaVersion,
    node,
    electron: electron ?? null,
    nodeModules: modules,
    nodeApi: napi,
    platform: `${process.platform} ${process.arch}`,
    packages: manifest.dependencies,
  };
  const sentence = `Bandwright ${manifest.version}, schema ${schemaVersion}, ${host}, ${details.platform}`;
  const values = { version: manifest.version, schema: schemaVersion, host, platform: details.platform };
  return { subject: 'versions', verdict: 'good', code: 'versions', values, sentence, details };
}
