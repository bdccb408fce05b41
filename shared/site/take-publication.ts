import { canonicalJson } from '../evidence/canonical-json.ts';
import { decideInstrument, type InstrumentContext } from '../instrument/decide-instrument.ts';
import type { InstrumentEvent } from '../instrument/instrument.ts';
import type { Person, PersonEvent } from '../people/person.ts';
import { ok, type Result, refuse } from '../result.ts';
import type { SheetEvent, SheetState } from '../sheet/revision.ts';
import { checkSheet } from '../sheet/sheet-check.ts';
import type { PublicationContent } from './publication.ts';

/** Who stands in the events of a bench for what came from the site. */
export const sitePersonId = 'site';

/** What a bench has of the subjects. */
export interface BenchState {
  readonly at: string;
  /** True for a bench of simulated instruments. */
  readonly simulated: boolean;
  readonly sheet: SheetState | undefined;
  readonly people: readonly Person[];
  readonly instruments: InstrumentContext['instruments'];
  readonly hashOf: InstrumentContext['hashOf'];
}

/** The events that a publication makes at a bench, all of one stream; none where it has nothing new for it. */
export type PublicationEffect =
  | { readonly kind: 'sheet'; readonly id: string; readonly events: readonly SheetEvent[] }
  | { readonly kind: 'person'; readonly id: string; readonly events: readonly PersonEvent[] }
  | { readonly kind: 'instrument'; readonly id: string; readonly events: readonly InstrumentEvent[] };

/**
 * What a publication makes of what a bench has; or the refusal where the two contradict each other: nothing that was
 * decided at the bench is overruled silently. Never throws.
 */
export function takePublication(content: PublicationContent, bench: BenchState): Result<PublicationEffect> {
  switch (content.kind) {
    case 'sheet':
      return takeSheet(content, bench);
    case 'person':
      return takePerson(content, bench);
    case 'certificate':
      return takeCertificate(content, bench);
  }
}

type ContentOf<Kind extends PublicationContent['kind']> = Extract<PublicationContent, { kind: Kind }>;

function takeSheet(content: ContentOf<'sheet'>, { sheet: state, at }: BenchState): Result<PublicationEffect> {
  const { sheet, author, approvedBy, withdrawn } = content;
  const { sheetId, revision } = sheet;
  const effect = (events: readonly SheetEvent[]) => ok({ kind: 'sheet', id: sheetId, events } as const);
  const envelope = { sheetId, revision, at };
  const withdrawal: readonly SheetEvent[] =
    withdrawn === null
      ? []
      : [{ kind: 'sheetWithdrawn', ...envelope, personId: approvedBy, reason: withdrawn }];
  const found = state?.revisions.find((one) => one.revision === revision);
  if (found !== undefined) {
    const isSame = canonicalJson(found.sheet) === canonicalJson(sheet);
    if (!isSame || found.approvedBy === null) {
      return refuse(
        'sheet_differs',
        'sheet',
        `Revision ${revision} of ${sheetId} is another one here; give ours the next number.`,
      );
    }
    return effect(found.status === 'approved' ? withdrawal : []);
  }
  const newest = state?.revisions.at(-1);
  if (newest !== undefined && newest.revision > revision) {
    return refuse(
      'sheet_older',
      'sheet',
      `${sheetId} has revision ${newest.revision} here already, the site sent ${revision}.`,
    );
  }
  const checked = checkSheet(sheet);
  if (!checked.ok) return checked;
  return effect([
    { kind: 'sheetDrafted', ...envelope, personId: author, sheet },
    { kind: 'sheetSubmitted', ...envelope, personId: author },
    { kind: 'sheetApproved', ...envelope, personId: approvedBy },
    ...withdrawal,
  ]);
}

function takePerson(
  content: ContentOf<'person'>,
  { people, simulated, at }: BenchState,
): Result<PublicationEffect> {
  const { personId, name, roles, badge, pin, active, invented } = content;
  if (invented !== simulated) {
    const what = invented ? 'is invented and this workshop is real' : 'is real and this workshop is invented';
    return refuse('person_of_other_world', 'person', `${name} ${what}; publish at a site of its own.`);
  }
  const state = people.find((one) => one.personId === personId);
  const holder = people.find((one) => one.badge !== null && one.badge === badge && one.personId !== personId);
  if (holder !== undefined)
    return refuse(
      'badge_taken',
      'person',
      `The badge of ${name} belongs to ${holder.name} here; change one.`,
    );
  if (state !== undefined && !state.active) {
    if (!active) return ok({ kind: 'person', id: personId, events: [] });
    return refuse('person_left', 'person', `${state.name} has left here; add the person under another id.`);
  }
  if (
    state !== undefined &&
    (!active || !roles.includes('administrator')) &&
    isLastAdministrator(state, people)
  ) {
    return refuse(
      'last_administrator',
      'person',
      `${name} is the last administrator here; make another one first.`,
    );
  }
  const envelope = { personId, at, byPersonId: sitePersonId };
  const events: PersonEvent[] = [];
  if (state === undefined) {
    if (!active || roles.length === 0) return ok({ kind: 'person', id: personId, events });
    events.push({ kind: 'personAdded', ...envelope, name, roles: [...roles], invented });
  } else if (canonicalJson(state.roles) !== canonicalJson(roles))
    events.push({ kind: 'rolesSet', ...envelope, roles: [...roles] });
  if (pin !== null && canonicalJson(state?.pin ?? null) !== canonicalJson(pin))
    events.push({ kind: 'pinSet', ...envelope, ...pin });
  if ((state?.badge ?? null) !== badge) events.push({ kind: 'badgeSet', ...envelope, badge });
  if (!active) events.push({ kind: 'personDeactivated', ...envelope, reason: 'closed at the site' });
  return ok({ kind: 'person', id: personId, events });
}

function isLastAdministrator(person: Person, people: readonly Person[]): boolean {
  const isOne = ({ active, roles, pin }: Person) => active && pin !== null && roles.includes('administrator');
  return isOne(person) && !people.some((other) => other.personId !== person.personId && isOne(other));
}

function takeCertificate(
  { instrumentId, certificate }: ContentOf<'certificate'>,
  { instruments, simulated, at, hashOf }: BenchState,
): Result<PublicationEffect> {
  const none = ok({ kind: 'instrument', id: instrumentId, events: [] } as const);
  const state = instruments.find((one) => one.instrumentId === instrumentId);
  // Most instruments stand at another bench.
  if (state === undefined || state.retired !== null) return none;
  if (state.certificates.some(({ hash }) => hash === hashOf(certificate))) return none;
  const events = decideInstrument(
    { kind: 'addCertificate', instrumentId, certificate },
    {
      at,
      person: { personId: sitePersonId, roles: ['lead', 'administrator'] },
      pinVerified: true,
      instruments,
      simulated,
      hashOf,
    },
  );
  return events.ok ? ok({ kind: 'instrument', id: instrumentId, events: events.value }) : events;
}
