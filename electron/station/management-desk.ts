import type { Clock } from '../../drivers/port/clock.ts';
import { decideLot, type LotCommand } from '../../shared/consumable/decide-lot.ts';
import type { Lot, LotEvent } from '../../shared/consumable/lot.ts';
import { canonicalJson } from '../../shared/evidence/canonical-json.ts';
import { decideInstrument, type InstrumentCommand } from '../../shared/instrument/decide-instrument.ts';
import type { ManagementCommand } from '../../shared/management-command.ts';
import { decidePerson, type PersonCommand, type PersonContext } from '../../shared/people/decide-person.ts';
import type { Actor } from '../../shared/people/role.ts';
import { ok, type Result } from '../../shared/result.ts';
import type { SheetCommand } from '../../shared/sheet/decide-sheet.ts';
import type { InstrumentBench } from './bench/instrument-bench.ts';
import type { PeopleDesk } from './people/people-desk.ts';
import type { Registry } from './registry.ts';
import type { SheetDesk } from './sheet-desk.ts';
import { sha256 } from './store/sha256.ts';

export interface ManagementDeskParts {
  readonly clock: Clock;
  /** True in a workshop of simulated instruments: what is added there counts as invented. */
  readonly simulated: boolean;
  readonly people: PeopleDesk;
  readonly lots: Registry<Lot, LotEvent>;
  readonly sheets: SheetDesk;
  readonly bench: InstrumentBench;
}

/** Who gives the command, and whether they entered their PIN for it just now. */
export interface Manager {
  readonly person: Actor;
  readonly pinVerified: boolean;
}

/** What was changed, and at how many events it stands now. */
export interface Managed {
  readonly id: string;
  readonly version: number;
}

/** What leads and administrators do: decides their commands and appends what they mean. */
export class ManagementDesk {
  readonly #parts: ManagementDeskParts;

  constructor(parts: ManagementDeskParts) {
    this.#parts = parts;
  }

  /**
   * Runs one command. What it means is on the disk when this resolves.
   *
   * @throws StoreFault when the disk or the database fails: nothing was written, the command may be repeated
   */
  command(command: ManagementCommand, by: Manager): Promise<Result<Managed>> {
    switch (command.kind) {
      case 'addPerson':
      case 'setPin':
      case 'setOwnPin':
      case 'setBadge':
      case 'setRoles':
      case 'deactivatePerson':
        return this.#commandPerson(command, by);
      case 'registerInstrument':
      case 'addCertificate':
      case 'recordInstrumentCheck':
      case 'concedeInstrument':
      case 'retireInstrument':
        return this.#commandInstrument(command, by);
      case 'receiveLot':
      case 'openLot':
      case 'blockLot':
        return Promise.resolve(this.#commandLot(command, by));
      case 'draftSheet':
      case 'submitSheet':
      case 'returnSheet':
      case 'approveSheet':
      case 'withdrawSheet':
        return Promise.resolve(this.#commandSheet(command, by));
    }
  }

  async #commandPerson(command: PersonCommand, by: Manager): Promise<Result<Managed>> {
    const { people, clock, simulated } = this.#parts;
    const decide = (newPinHash?: PersonContext['newPinHash']) =>
      decidePerson(command, {
        ...by,
        at: clock.wallTime(),
        people: people.registry.all(),
        newPinHash,
        invented: simulated,
      });
    let events = decide();
    // Hashing is slow on purpose: only for a PIN that will be taken.
    if ('newPin' in command && !events.ok && events.error.code === 'pin_not_hashed') {
      events = decide(await people.hashNewPin(command.newPin));
    }
    if (!events.ok) return events;
    const id = 'personId' in command ? command.personId : by.person.personId;
    const stored = people.registry.append(id, events.value, by.person.personId);
    if (!stored.ok) return stored;
    if ('newPin' in command) people.pinWasSet(id);
    return ok(managed(id, people.registry));
  }

  async #commandInstrument(command: InstrumentCommand, by: Manager): Promise<Result<Managed>> {
    const { bench, clock, simulated } = this.#parts;
    const events = decideInstrument(command, {
      ...by,
      at: clock.wallTime(),
      instruments: bench.registry.all(),
      profile: command.kind === 'registerInstrument' ? bench.profileForEntry(command.entry) : undefined,
      simulated,
      hashOf: (certificate) => sha256(canonicalJson(certificate)),
    });
    if (!events.ok) return events;
    const documents = events.value.flatMap((event) =>
      event.kind === 'certificateAdded' ? [{ kind: 'certificate', body: event.certificate }] : [],
    );
    const id = command.instrumentId;
    const stored = bench.registry.append(id, events.value, by.person.personId, documents);
    if (!stored.ok) return stored;
    const done = managed(id, bench.registry);
    await bench.refresh(id);
    return ok(done);
  }

  #commandLot(command: LotCommand, by: Manager): Result<Managed> {
    const { lots, clock, simulated } = this.#parts;
    const { person } = by;
    const events = decideLot(lots.get(command.lotId), command, {
      at: clock.wallTime(),
      person,
      invented: simulated,
    });
    if (!events.ok) return events;
    const stored = lots.append(command.lotId, events.value, person.personId);
    return stored.ok ? ok(managed(command.lotId, lots)) : stored;
  }

  #commandSheet(command: SheetCommand, by: Manager): Result<Managed> {
    const state = this.#parts.sheets.command(command, by);
    if (!state.ok) return state;
    const id = command.kind === 'draftSheet' ? command.sheet.sheetId : command.sheetId;
    return ok(managed(id, this.#parts.sheets.registry));
  }
}

function managed(
  id: string,
  registry: { get(id: string): { readonly version: number } | undefined },
): Managed {
  return { id, version: registry.get(id)?.version ?? 0 };
}
