import type { Surface } from './surface.ts';
import { bundleSurface } from './surfaces/bundles.ts';
import { callSurface, messageSurface } from './surfaces/calls.ts';
import { commandSurfaces } from './surfaces/commands.ts';
import { csvSurface } from './surfaces/csv.ts';
import { backupPlanSurface, keyFileSurface } from './surfaces/data-folder.ts';
import { decoderSurface } from './surfaces/decoder.ts';
import { certificateSurface, sheetSurface } from './surfaces/documents.ts';
import { addressSurface, documentNameSurface, folderSurface } from './surfaces/paths.ts';
import { patternSurface, profileSurface } from './surfaces/profiles.ts';

/** Every place where something from outside comes in. */
export const surfaces: readonly Surface[] = [
  profileSurface,
  patternSurface,
  decoderSurface,
  sheetSurface,
  certificateSurface,
  bundleSurface,
  callSurface,
  messageSurface,
  addressSurface,
  ...commandSurfaces,
  csvSurface,
  documentNameSurface,
  folderSurface,
  keyFileSurface,
  backupPlanSurface,
];
