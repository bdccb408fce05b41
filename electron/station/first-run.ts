import { type Clock, createSystemClock } from '../../drivers/port/clock.ts';
import { type HidLack, lackOfHid } from '../../drivers/port/hid-devices.ts';
import type { PortLister } from '../../drivers/port/port-list.ts';
import { createSystemPortLister } from '../../drivers/port/system-ports.ts';
import manifest from '../../package.json' with { type: 'json' };
import type { Snapshot } from '../../shared/contract.ts';
import { type FirstRunView, type SetUp, setUpSchema } from '../../shared/first-run.ts';
import { ok, type Result, refuse } from '../../shared/result.ts';
import { parseWith } from '../../shared/schema-refusal.ts';
import { demoDataFolder, workshopDataFolder } from './data-folder.ts';
import { idOfName } from './people/first-administrator.ts';
import type { PinHashing } from './people/pin.ts';
import { readSetUp, setUpWorkshop } from './workshop-set-up.ts';

/** Where a first run may put what it sets up. */
export interface FirstRunFolders {
  readonly demo: string;
  readonly workshop: string;
}

export interface FirstRunParts {
  readonly folders: FirstRunFolders;
  readonly clock?: Clock;
  readonly listPorts?: PortLister;
  readonly hidLack?: () => Promise<HidLack | null>;
  readonly pinHashing?: PinHashing | undefined;
}

/** What was set up. */
export interface SetUpDone {
  readonly dataFolder: string;
  /** The administrator who signs in with it; null at the demo workshop. */
  readonly personId: string | null;
  /** To be noted apart from this computer; null at the demo workshop. */
  readonly keyId: string | null;
}

/**
 * The folders of a first run: both the one that was named, or the two usual ones. Undefined where something has been
 * set up there already, so that nobody is asked.
 *
 * @throws StoreFault where a database cannot be read
 */
export function firstRunFolders(
  named: string | undefined,
  environment: NodeJS.ProcessEnv,
): FirstRunFolders | undefined {
  const folders =
    named === undefined
      ? { demo: demoDataFolder(environment), workshop: workshopDataFolder(environment) }
      : { demo: named, workshop: named };
  const isSetUp = [folders.demo, folders.workshop].some((folder) => {
    const { workshop, isHalfDone } = readSetUp(folder);
    return workshop !== null || isHalfDone;
  });
  return isSetUp ? undefined : folders;
}

/** A station before there is one: asks whether it shall be the demo or a workshop of its own. */
export class FirstRun {
  readonly #parts: FirstRunParts;
  readonly #clock: Clock;
  readonly #listPorts: PortLister;
  readonly #lackOfHid: () => Promise<HidLack | null>;
  #plugged: Pick<FirstRunView, 'ports' | 'hidLack'> = { ports: [], hidLack: null };

  constructor(parts: FirstRunParts) {
    this.#parts = parts;
    this.#clock = parts.clock ?? createSystemClock();
    this.#listPorts = parts.listPorts ?? createSystemPortLister();
    this.#lackOfHid = parts.hidLack ?? lackOfHid;
  }

  /** What a screen shows: nobody and nothing but the choice. */
  snapshot(): Snapshot {
    const { demo, workshop } = this.#parts.folders;
    return {
      version: manifest.version,
      workshop: '',
      simulated: false,
      signedIn: null,
      people: [],
      instruments: [],
      assigned: { scale: null, wrench: null },
      openJobs: [],
      jobInHand: null,
      faults: [],
      firstRun: { demoFolder: demo, workshopFolder: workshop, ...this.#plugged },
    };
  }

  /** Looks what is plugged in; true when that is another picture than before. */
  async lookAtPorts(): Promise<boolean> {
    const listed = await this.#listPorts();
    const lack = await this.#lackOfHid();
    const before = JSON.stringify(this.#plugged);
    const ports = listed.map(({ path, manufacturer, product }) => ({
      path,
      name: [manufacturer, product].filter((part) => part !== undefined).join(' '),
    }));
    this.#plugged = { ports, hidLack: lack === null ? null : { missing: lack.missing } };
    return JSON.stringify(this.#plugged) !== before;
  }

  /**
   * Sets up what a screen asks for.
   *
   * @returns where it lies now, or what is wrong with the input
   * @throws StoreFault
   */
  async setUp(parameters: unknown): Promise<Result<SetUpDone>> {
    const parsed = parseWith(setUpSchema, parameters);
    if (!parsed.ok) return parsed;
    const { demo } = this.#parts.folders;
    // The station makes the demo workshop itself when it opens the empty folder.
    if (parsed.value.kind === 'demo') return ok({ dataFolder: demo, personId: null, keyId: null });
    return this.#setUpWorkshop(parsed.value);
  }

  async #setUpWorkshop(wish: Extract<SetUp, { kind: 'workshop' }>): Promise<Result<SetUpDone>> {
    const dataFolder = this.#parts.folders.workshop;
    const known = readSetUp(dataFolder);
    if (known.workshop !== null || known.isHalfDone) {
      return refuse('set_up_already', 'dataFolder', 'The data folder has a workshop already; start again.');
    }
    // A name in letters that make no id is still the name of the first administrator.
    const personId = idOfName(wish.administrator) || 'administrator';
    const done = await setUpWorkshop({
      dataFolder,
      workshop: wish.workshop,
      administrator: { personId, name: wish.administrator },
      pin: wish.pin,
      clock: this.#clock,
      pinHashing: this.#parts.pinHashing,
    });
    return done.ok ? ok({ dataFolder, personId, keyId: done.value.keyId }) : done;
  }
}
