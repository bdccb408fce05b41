import type { z } from 'zod';
import { parseStampFormat } from '../decode/stamp.ts';
import { findHarmfulWord } from './harmless-request.ts';
import { findPatternFault, groupNames } from './pattern.ts';
import type { ProfileWords } from './profile-words.ts';
import type { InstrumentRequest } from './settings.ts';
import { bytesOfHex } from './words.ts';

type Path = readonly (string | number)[];
type Complain = (path: Path, message: string) => void;

/** What the words of a profile must hold among themselves, once each is well formed. */
export function checkProfile(profile: ProfileWords, context: z.core.$RefinementCtx): void {
  let sound = true;
  const complain: Complain = (path, message) => {
    sound = false;
    context.addIssue({ code: 'custom', path: [...path], message, input: undefined });
  };
  for (const { path, source } of patternsOf(profile)) {
    const fault = findPatternFault(source, profile.frame.max_bytes);
    if (fault !== null) complain(path, fault);
  }
  for (const word of ['request', 'start_request', 'tare_request', 'zero_request'] as const) {
    const request = profile[word];
    if (request !== undefined) checkRequest(request, [word], profile.frame.max_bytes, complain);
  }
  checkChecksum(profile, complain);
  checkRanges(profile, complain);
  if (sound && profile.hid === undefined) checkGroups(profile, complain);
}

/** Every regular expression of a profile with its place. */
function patternsOf(profile: ProfileWords): { readonly path: Path; readonly source: string }[] {
  const { ticket, dump } = profile;
  const all: { path: Path; source: string | undefined }[] = [
    { path: ['pattern'], source: profile.pattern },
    ...profile.refuse_lines.map(({ pattern }, index) => ({
      path: ['refuse_lines', index, 'pattern'],
      source: pattern,
    })),
    ...profile.ignore_lines.map((source, index) => ({ path: ['ignore_lines', index], source })),
    { path: ['unit_line', 'pattern'], source: profile.unit_line?.pattern },
    { path: ['ticket', 'begin'], source: ticket?.begin },
    { path: ['ticket', 'end'], source: ticket?.end },
    ...Object.entries(ticket?.lines ?? {}).map(([name, source]) => ({
      path: ['ticket', 'lines', name],
      source,
    })),
    { path: ['dump', 'begin'], source: dump?.begin },
    { path: ['dump', 'count'], source: dump?.count },
    { path: ['dump', 'end'], source: dump?.end },
  ];
  return all.flatMap(({ path, source }) => (source === undefined ? [] : [{ path, source }]));
}

function checkRequest(request: InstrumentRequest, path: Path, maxBytes: number, complain: Complain): void {
  const sends = [
    { path: [...path, 'hex'], hex: request.hex ?? '' },
    ...(request.steps ?? []).map((step, index) => ({
      path: [...path, 'steps', index, 'send_hex'],
      hex: step.send_hex,
    })),
  ];
  for (const send of sends) {
    const harmful = findHarmfulWord(bytesOfHex(send.hex));
    if (harmful === null) continue;
    complain(
      send.path,
      `sends ${harmful.word}, which ${harmful.effect} something in the instrument; a profile may only ask`,
    );
  }
  for (const [index, step] of (request.steps ?? []).entries()) {
    const fault = step.expect === undefined ? null : findPatternFault(step.expect, maxBytes);
    if (fault !== null) complain([...path, 'steps', index, 'expect'], fault);
  }
}

function checkChecksum({ checksum, frame }: ProfileWords, complain: Complain): void {
  if (checksum === undefined) return;
  const isFramed = (frame.start ?? '').trim() !== '';
  const wantsTail = checksum.kind === 'twos_complement_low7' ? 1 : 0;
  if (!isFramed && !checksum.kind.endsWith('_hex')) {
    complain(['checksum', 'kind'], 'needs frame.start, because the check byte may look like a line end');
  }
  if (frame.tail !== wantsTail) complain(['frame', 'tail'], `must be ${wantsTail} for this checksum`);
}

function checkRanges(profile: ProfileWords, complain: Complain): void {
  for (const [unit, [lower, upper]] of Object.entries(profile.range)) {
    if (lower > upper) complain(['range', unit], 'has its limits the wrong way round; give [lower, upper]');
  }
  for (const [path, format] of [
    [['stamp', 'format'], profile.stamp?.format],
    [['ticket', 'stamp_format'], profile.ticket?.stamp_format],
  ] as const) {
    if (format === undefined || parseStampFormat(format) !== null) continue;
    complain(path, 'must be written with yyyy or yy, mm, dd, HH, MM and SS, for example dd.mm.yyyy,HH:MM:SS');
  }
}

function checkGroups(profile: ProfileWords, complain: Complain): void {
  const { ticket, dump, stability } = profile;
  const source = ticket === undefined ? profile.pattern : ticket.lines[ticket.report];
  if (ticket !== undefined) checkTicket(ticket, complain);
  if (source === undefined) {
    if (ticket === undefined) complain(['pattern'], 'is missing; give the whole-line pattern, or a ticket');
    return;
  }
  const names = new Set(groupNames(source));
  const where = ticket === undefined ? 'pattern' : `ticket.lines.${ticket.report}`;
  for (const name of names)
    if (!/^[A-Za-z]\w*$/.test(name)) complain([where], `the group name ${name} must begin with a letter`);
  const need = (path: Path, group: string) => {
    if (!names.has(group))
      complain(path, `no group named ${group} stands in ${where}; add it there or correct the name`);
  };
  need([where], 'value');
  if (stability !== undefined && 'group' in stability) need(['stability', 'group'], stability.group);
  for (const [index, { group }] of profile.refuse_when.entries())
    need(['refuse_when', index, 'group'], group);
  for (const [index, { group }] of profile.bits.entries()) need(['bits', index, 'group'], group);
  for (const word of ['decimals', 'sequence', 'stamp', 'tags', 'direction'] as const) {
    const group = profile[word]?.group;
    if (group !== undefined) need([word, 'group'], group);
  }
  if (dump !== undefined && !groupNames(dump.count).includes('count')) {
    complain(['dump', 'count'], 'needs a group named count');
  }
  if (profile.unit_line !== undefined && !groupNames(profile.unit_line.pattern).includes('unit')) {
    complain(['unit_line', 'pattern'], 'needs a group named unit');
  }
  if (!hasUnitSource(profile, names)) {
    complain(['units'], 'nothing tells the unit; name a group unit in the pattern, or give unit_fixed');
  }
}

function hasUnitSource(profile: ProfileWords, names: ReadonlySet<string>): boolean {
  const byBits = profile.bits.some(({ one, zero }) => `${one} ${zero}`.includes('unit:'));
  const byLine = profile.unit_fixed !== undefined || profile.unit_line !== undefined;
  return byBits || byLine || names.has(profile.unit_group ?? 'unit') || Object.hasOwn(profile.units, '');
}

function checkTicket(ticket: NonNullable<ProfileWords['ticket']>, complain: Complain): void {
  if (ticket.lines[ticket.report] === undefined) {
    complain(['ticket', 'report'], `no line named ${ticket.report} stands in ticket.lines`);
  }
  if (ticket.begin_is !== undefined && ticket.lines[ticket.begin_is] === undefined) {
    complain(['ticket', 'begin_is'], `no line named ${ticket.begin_is} stands in ticket.lines`);
  }
  for (const [index, name] of (ticket.order ?? []).entries()) {
    if (ticket.lines[name] === undefined) {
      complain(['ticket', 'order', index], `no line named ${name} stands in ticket.lines`);
    }
  }
}
