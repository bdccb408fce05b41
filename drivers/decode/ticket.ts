import type { RejectionReason } from '../../shared/indication.ts';
import { parseDecimal, subtractDecimalTexts } from '../../shared/quantity/decimal-text.ts';
import { compileStart } from '../profile/pattern.ts';
import type { InstrumentProfile } from '../profile.ts';
import { canonicalNumber } from './number-text.ts';
import { parseStampFormat } from './stamp.ts';

/** The named groups of a line of the ticket. */
export type Groups = Readonly<Record<string, string | undefined>>;

/** Where a line of a ticket lies, and its bytes as latin1 text. */
export interface TicketLine {
  readonly startOffset: number;
  readonly endOffset: number;
  readonly raw: string;
}

export type TicketOutcome =
  | { readonly kind: 'open' }
  | { readonly kind: 'refused'; readonly at: number; readonly reason: RejectionReason }
  | {
      readonly kind: 'complete';
      readonly groups: Groups;
      readonly at: number;
      readonly stamp: string | undefined;
      /** First byte of the ticket. */
      readonly startOffset: number;
      /** The bytes of its lines, begin and end included, other lines left out. */
      readonly raw: string;
    };

export interface TicketReader {
  /** Takes a line; gives one or two outcomes (a new ticket may begin while the old one is incomplete). */
  take(text: string, line: TicketLine): readonly TicketOutcome[];
  reset(): void;
  /** First byte of the ticket in hand, or null. */
  readonly openSince: number | null;
  readonly heldBytes: number;
}

interface OpenTicket {
  readonly at: number;
  readonly begin: TicketLine;
  readonly beginGroups: Groups;
  readonly lines: Map<string, { readonly groups: Groups; readonly line: TicketLine }>;
  /** Number of ordered lines taken. */
  taken: number;
}

const open: readonly TicketOutcome[] = [{ kind: 'open' }];

/**
 * A ticket is one reading, its net line, and only when all its lines are there and gross − tare = net in one unit.
 */
export function createTicketReader(
  ticket: NonNullable<InstrumentProfile['ticket']>,
  decimal: InstrumentProfile['decimal'],
): TicketReader {
  const begin = compileStart(ticket.begin);
  const end = ticket.end === undefined ? undefined : compileStart(ticket.end);
  const patterns = new Map(
    Object.entries(ticket.lines).map(([name, source]) => [name, compileStart(source)]),
  );
  const names = [...patterns.keys()];
  const readStamp = ticket.stamp_format === undefined ? undefined : parseStampFormat(ticket.stamp_format);
  let current: OpenTicket | null = null;

  function findLine(text: string, opened: OpenTicket): { name: string; groups: Groups } | null {
    const candidates =
      ticket.order === undefined ? names : ticket.order.slice(opened.taken, opened.taken + 1);
    for (const name of candidates) {
      const match = patterns.get(name)?.exec(text);
      if (match) return { name, groups: match.groups ?? {} };
    }
    return null;
  }

  function isComplete(opened: OpenTicket): boolean {
    return names.every((name) => opened.lines.has(name));
  }

  function finish(opened: OpenTicket, last: TicketLine | null): TicketOutcome {
    current = null;
    const report = opened.lines.get(ticket.report);
    if (!isComplete(opened) || report === undefined) return refused(opened.at, 'ticket_incomplete');
    if (!holds(opened, decimal)) return refused(opened.at, 'ticket_inconsistent');
    const stamp = stampOf(opened, readStamp);
    if (stamp === null) return refused(opened.at, 'ticket_inconsistent');
    const lines = [
      opened.begin,
      ...[...opened.lines.values()].map(({ line }) => line),
      ...(last ? [last] : []),
    ];
    const inOrder = [...new Set(lines)].sort((a, b) => a.startOffset - b.startOffset);
    return {
      kind: 'complete',
      groups: report.groups,
      at: report.line.startOffset,
      stamp,
      startOffset: opened.at,
      raw: inOrder.map(({ raw }) => raw).join(''),
    };
  }

  return {
    take(text, line) {
      const beginning = begin.exec(text);
      if (beginning !== null) {
        const outcomes: TicketOutcome[] = current === null ? [] : [refused(current.at, 'ticket_incomplete')];
        const groups = beginning.groups ?? {};
        current = { at: line.startOffset, begin: line, beginGroups: groups, lines: new Map(), taken: 0 };
        if (ticket.begin_is !== undefined) current.lines.set(ticket.begin_is, { groups, line });
        return outcomes.length === 0 ? open : outcomes;
      }
      if (current === null) return [refused(line.startOffset, 'no_match')];
      const found = findLine(text, current);
      if (found !== null) {
        current.lines.set(found.name, { groups: found.groups, line });
        current.taken += 1;
        return end === undefined && isComplete(current) ? [finish(current, null)] : open;
      }
      if (end?.test(text)) return [finish(current, line)];
      return [refused(line.startOffset, 'no_match')];
    },
    reset() {
      current = null;
    },
    get openSince() {
      return current?.at ?? null;
    },
    get heldBytes() {
      if (current === null) return 0;
      return [...current.lines.values()].reduce(
        (sum, { line }) => sum + line.raw.length,
        current.begin.raw.length,
      );
    },
  };
}

function refused(at: number, reason: RejectionReason): TicketOutcome {
  return { kind: 'refused', at, reason };
}

/** Gross − tare = net, exactly, in one unit; where the ticket has not all three there is nothing to hold. */
function holds(opened: OpenTicket, decimal: InstrumentProfile['decimal']): boolean {
  const cells = ['gross', 'tare', 'net'].map((name) => opened.lines.get(name)?.groups);
  const [gross, tare, net] = cells.map((groups) => printedNumber(groups, decimal));
  if (cells.some((groups) => groups === undefined)) return true;
  if (gross == null || tare == null || net == null) return false;
  if (new Set(cells.map((groups) => groups?.unit)).size > 1) return false;
  const difference = parseDecimal(subtractDecimalTexts(gross, tare));
  const expected = parseDecimal(net);
  return difference?.numerator === expected?.numerator && difference?.denominator === expected?.denominator;
}

function printedNumber(groups: Groups | undefined, decimal: InstrumentProfile['decimal']): string | null {
  return canonicalNumber(groups?.value ?? '', groups?.sign?.trim() === '-', decimal);
}

/** Date and time of the ticket; undefined where it has none, null where they cannot be read. */
function stampOf(
  opened: OpenTicket,
  read: ReturnType<typeof parseStampFormat> | undefined,
): string | undefined | null {
  const groups = [opened.beginGroups, ...[...opened.lines.values()].map((line) => line.groups)];
  const date = groups.find((cells) => cells.date !== undefined)?.date;
  const time = groups.find((cells) => cells.time !== undefined)?.time;
  if (date === undefined || time === undefined) return undefined;
  return read == null ? `${date}T${time}` : read(`${date},${time}`);
}
