/** What a check of the evidence can find, in English; `{name}` is a value of the finding. */
export const findingWords = {
  eventUnreadable: 'event {event} cannot be read: the database file is damaged there',
  eventColumnsAltered: 'event {event} was altered: its columns are not what a station writes',
  eventEmpty: 'event {event} holds no event of a station',
  eventAltered: 'event {event} ({kind}) was altered: its hash does not fit',
  eventHashedAnew:
    'event {event} was altered and hashed anew: event {next} still names the one that was there',
  eventMoved: 'event {event} was moved there from place {from}',
  eventNotOfStation: 'event {event} ({kind}) is not what a station writes: {message}',
  eventWrittenAnew:
    "event {event} was written anew without the station's key; every hash from there on was made again",
  eventsWrittenAnew:
    "events {first} to {last} were written anew without the station's key; every hash from there on was made again",
  beginningRemoved: 'what stood before event 1 was cut off',
  eventRemoved: 'event {event} was removed',
  eventsRemoved: 'events {events} were removed',
  eventRemovedNameless: 'event {event} was removed; nothing is left that names the job',
  eventsRemovedNameless: 'events {events} were removed; nothing is left that names the job',
  eventRemovedAmong:
    'event {event} was removed, among events {first} to {last}; nothing is left that names the job',
  eventsRemovedAmong:
    'events {events} were removed, among events {first} to {last}; nothing is left that names the job',
  streamEventAltered: 'event {event} of {stream} was altered: its hash does not fit',
  streamEventsMissing: '{count} of the events of {stream} are missing',
  rowOfNoStation: 'an event has columns that no station writes',
  streamIncomplete: '{count} of its {total} events missing (its number {numbers})',
  streamsUncountable: 'the streams cannot be counted: the database file is damaged',
  keyUnusable: 'event {event} introduces no usable key',
  keyWithoutVoucher:
    'key changed without voucher from event {event} on: nothing shows that the holder of key {before} made key {key}. That is no forgery by itself: ask the workshop; if it lost the key there, name both with --key',
  keyNotTrusted: 'key {key} is none of those that you trust',
  indexRowRemoved: 'its row in the index "{table}" was removed',
  indexRowAltered: 'its row in the index "{table}" was altered: it is not what event {event} says',
  indexRowAdded: 'a row in the index "{table}" belongs to no event',
  documentMissing: 'event {event} names document {document}, which cannot be read',
  documentRemoved: '{document} was removed or cannot be read',
  documentOfOtherKind: '{document} stands there under another kind',
  documentUnreadable: 'document {place} cannot be read: the database file is damaged there',
  documentColumnsAltered: 'a document was altered: its columns are not what a station writes',
  documentAltered: '{document} was altered: its hash does not fit',
  documentAdded: '{document} was added: no event of the chain says that it was put',
  recordMissing: 'its record (event {event}) was removed or cannot be read',
  recordUnreadable: 'record {event} was altered or cannot be read',
  recordAltered: 'its signed record (event {event}) was altered: its hash does not fit',
  recordAdded: 'its record (event {event}) was added: no event of the chain says that it was signed',
  recordNotNamed: 'its signed record (event {event}) was altered: it is not the one that the chain names',
  recordOfUnknownKey: 'its record (event {event}) names a key that this station never had',
  recordUnsigned: "its record (event {event}) does not bear the station's signature",
  recordOfOtherKey: 'its record (event {event}) is signed with a key that does not sign at that place',
  recordNotRebuilt: 'its record cannot be built from its events',
  recordNotOfStation: 'its record is not what a station writes',
  recordDiffers: 'its events were altered: the signed record has another {field}',
  sealUnreadable: 'the seal of event {event} was altered or cannot be read',
  sealBroken: 'the seal of event {event} was altered, or one before it was altered or removed',
  sealsRemoved: 'the seals were removed: nothing shows that this chain is the station’s',
  eventsUnsealed:
    'event {event} and what follows was added, or its seal removed: the station did not seal it',
  headMissing: 'the head file is missing: nothing shows whether the end of the chain was cut off',
  headUnreadable: 'the head file was altered: it cannot be read',
  headUnsigned: "the head file was altered: it does not bear the station's signature",
  headOfOtherKey: 'the head file is signed with key {key}, which does not sign at event {event}',
  headNamesOther: 'event {event} is not the one that the head file names: the chain was written anew',
  endCutOff: 'the end of the chain was cut off: event {event} is missing',
  longEndCutOff: 'the end of the chain was cut off: events {first} to {last} are missing',
  siteEndCutOff: 'the end of the chain was cut off: the site had taken events up to {event} ({hash})',
  schemaUnreadable: 'the schema of the database cannot be read',
  schemaEntryRemoved: 'the {type} "{name}" was removed',
  schemaEntryAltered: 'the {type} "{name}" was altered',
  schemaEntryAdded: 'the {type} "{name}" was added by another program',
  guardRemoved: 'the trigger "{name}" was removed: it keeps evidence from being changed',
  guardAltered: 'the trigger "{name}" was altered: it keeps evidence from being changed',
  fileUncheckable: 'the database file is damaged: SQLite cannot check it',
  fileDamaged: 'the database file is damaged: {message}',
  databaseDamaged: '{message}',
  readingWithoutProfile: 'the reading: the stored profile cannot be read',
  readingEmpty: 'the reading: its raw bytes read nothing, not {recorded}',
  readingDiffers: 'the reading: its raw bytes read {again}, not {recorded}',
  tareWithoutProfile: 'the tare: the stored profile cannot be read',
  tareEmpty: 'the tare: its raw bytes read nothing, not {recorded}',
  tareDiffers: 'the tare: its raw bytes read {again}, not {recorded}',
  valueEmpty: 'indication, tare and corrections give nothing, not {recorded}',
  valueDiffers: 'indication, tare and corrections give {again}, not {recorded}',
  judgementFails: 'it cannot be judged again: {message}',
  decisionDiffers: 'judged again it is "{again}", not "{recorded}"',
  limitsDiffer: 'judged again its limits or conformance come out otherwise',
} as const;

export type FindingCode = keyof typeof findingWords;

type NamesIn<Text extends string> = Text extends `${string}{${infer Name}}${infer Rest}`
  ? Name | NamesIn<Rest>
  : never;

/** What was found, without the name of the record. The words are chosen where it is shown. */
export interface Finding {
  readonly code: FindingCode;
  readonly values: Readonly<Record<string, string | number>>;
}

/** A finding with exactly the values that its words name. */
export function finding<Code extends FindingCode>(
  code: Code,
  values: Readonly<Record<NamesIn<(typeof findingWords)[Code]>, string | number>>,
): Finding {
  return { code, values };
}

/** The finding in English, as the command line says it. */
export function findingText({ code, values }: Finding): string {
  return findingWords[code].replace(/\{(\w+)\}/g, (whole, name: string) => String(values[name] ?? whole));
}
