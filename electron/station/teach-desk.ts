import type { BytePort } from '../../drivers/port/byte-port.ts';
import type { Clock } from '../../drivers/port/clock.ts';
import { createSerialPort } from '../../drivers/port/serial-port.ts';
import type { SerialSettings } from '../../drivers/port/serial-settings.ts';
import { readProfile } from '../../drivers/profile.ts';
import { builtInProfileNames, findBuiltInProfile } from '../../drivers/profiles/index.ts';
import { type LessonHeard, LessonRecorder } from '../../drivers/teach/lesson-recorder.ts';
import { buildProfile, rankProfiles } from '../../drivers/teach.ts';
import type { JsonObject } from '../../shared/evidence/canonical-json.ts';
import { quantityOf } from '../../shared/quantity/unit.ts';
import { ok, type Result, refuse } from '../../shared/result.ts';
import type { CharacterFormat, DisplayView, PortView, TeachView } from '../../shared/teach-view.ts';
import type { InstrumentBench } from './bench/instrument-bench.ts';
import { type PracticeDevice, practicePortId } from './bench/practice-device.ts';
import { RecentLines } from './bench/recent-lines.ts';
import type { Parsed } from './call-handler.ts';
import { settingsOf } from './serial-format.ts';
import type { Store } from './store/store.ts';
import { guessView } from './teach-guess.ts';

export interface TeachDeskParts {
  readonly clock: Clock;
  readonly store: Store;
  readonly bench: InstrumentBench;
  /** Of a demo workshop. */
  readonly practice: PracticeDevice | null;
}

interface Listening {
  readonly portId: string;
  readonly baud: number;
  readonly format: CharacterFormat;
  readonly settings: SerialSettings;
  readonly port: BytePort;
  readonly recorder: LessonRecorder;
  readonly recent: RecentLines;
  known: TeachView['known'];
  knownAtBytes: number;
}

/** A port that nobody asks for is let go after this time. */
const lookedAtMilliseconds = 60_000;
/** How many bytes built-in profiles are tried on, and how many new ones make it worth trying again. */
const tryOnBytes = 4096;
const tryAgainBytes = 512;

/**
 * Teaching an instrument: listens to a port that no instrument holds, guesses what its bytes mean, takes what a person
 * reads on the display, and keeps the profile. One lesson at a time for the whole station. It never writes to a port.
 */
export class TeachDesk {
  readonly #parts: TeachDeskParts;
  readonly #watch: NodeJS.Timeout;
  #listening: Listening | undefined;
  #lookedAtMilliseconds = 0;

  constructor(parts: TeachDeskParts) {
    this.#parts = parts;
    this.#watch = setInterval(() => {
      const unseen = parts.clock.nowMilliseconds() - this.#lookedAtMilliseconds;
      if (this.#listening !== undefined && unseen > lookedAtMilliseconds) void this.stop();
    }, 10_000);
  }

  /**
   * Begins a lesson. `port` is the one of the list as it is now.
   * Refusals: `no_such_port`, `port_held`, `hid_not_taught`.
   */
  async listen(port: PortView | undefined, baud: number, format: CharacterFormat): Promise<Result<null>> {
    if (port === undefined) {
      return refuse('no_such_port', 'portId', 'This port is not there any more; look at the list again.');
    }
    if (port.heldBy !== null) {
      return refuse('port_held', 'portId', `${port.heldBy} holds this port; retire it or choose another.`);
    }
    if (port.transport === 'hid') {
      return refuse(
        'hid_not_taught',
        'portId',
        'A HID scale needs no teaching; register it with its profile.',
      );
    }
    await this.stop();
    const settings = settingsOf(baud, format);
    const bytePort = this.#createPort(port.portId, settings);
    const recorder = new LessonRecorder();
    const recent = new RecentLines();
    bytePort.onBytes((chunk, { arrivedAt }) => {
      recorder.take(chunk);
      recent.take(chunk, arrivedAt);
    });
    // What comes after a loss does not continue what came before it.
    bytePort.onState((state) => {
      if (state.kind === 'open') recorder.forget();
    });
    const opened = bytePort.open();
    if (!opened.ok) return opened;
    this.#listening = {
      portId: port.portId,
      baud,
      format,
      settings,
      port: bytePort,
      recorder,
      recent,
      known: [],
      knownAtBytes: 0,
    };
    this.#lookedAtMilliseconds = this.#parts.clock.nowMilliseconds();
    return ok(null);
  }

  /** Ends the lesson and lets the port go. */
  async stop(): Promise<void> {
    const listening = this.#listening;
    this.#listening = undefined;
    await listening?.port.close();
  }

  async close(): Promise<void> {
    clearInterval(this.#watch);
    await this.stop();
  }

  /** What is known so far. Asking for it keeps the port. */
  view(): TeachView {
    this.#lookedAtMilliseconds = this.#parts.clock.nowMilliseconds();
    const listening = this.#listening;
    if (listening === undefined) {
      return { port: null, lines: [], guess: null, known: [], confirmations: [], practice: null };
    }
    const { portId, baud, format, port, recorder, recent } = listening;
    const { state } = port;
    return {
      port: {
        portId,
        baud,
        format,
        state: state.kind === 'failed' ? 'missing' : state.kind,
        message: 'message' in state ? state.message : '',
        bytes: recorder.heardBytes,
      },
      lines: recent.lines().slice(-8),
      guess: recorder.bytes().length === 0 ? null : guessView(recorder.lesson()),
      known: this.#knownProfiles(listening),
      confirmations: recorder.confirmed(),
      practice: portId === practicePortId ? (this.#parts.practice?.display() ?? null) : null,
    };
  }

  /** Takes what the display showed when so many bytes had been heard. Refusals: `not_listening` and those of the lesson. */
  confirm(display: DisplayView, atHeardBytes: number): Result<null> {
    if (this.#listening === undefined) return notListening();
    const confirmed = this.#listening.recorder.confirm(display, atHeardBytes);
    return confirmed.ok ? ok(null) : confirmed;
  }

  /**
   * Keeps what was learned as a profile with the recording as its example; a name that was taught before gets its next
   * revision. Refusals: `not_listening`, `name_built_in`, and those of the lesson and the profile.
   */
  async save(
    about: Parsed<'teachSave'>,
    personId: string,
  ): Promise<Result<{ name: string; revision: number }>> {
    if (this.#listening === undefined) return notListening();
    const { name, title, torque, division } = about;
    if (findBuiltInProfile(name) !== undefined) {
      return refuse('name_built_in', 'name', `${name} is a built-in profile; choose another name.`);
    }
    const { recorder, settings } = this.#listening;
    const lesson = recorder.lesson();
    if (!lesson.ok) return lesson;
    const isTorque = isOfTorque(lesson);
    const built = buildProfile(lesson.value, {
      name,
      title,
      serial: settings,
      ...(isTorque ? { torque: torque ?? 'peak' } : {}),
      ...(division === null ? {} : { division }),
    });
    if (!built.ok) return built;
    const { store, bench, clock } = this.#parts;
    const before = store.documentsOfKind('profile').filter(({ body }) => body.name === name);
    const revision = before.length + 1;
    const whole = readProfile({
      ...built.value,
      revision,
      note: `${built.value.note ?? ''} By ${personId}, ${clock.wallTime()}.`.trim(),
    });
    if (!whole.ok) return whole;
    store.putDocument('profile', whole.value as JsonObject);
    for (const instrument of bench.registry.all()) {
      if (instrument.profileName === name && instrument.retired === null) {
        await bench.refresh(instrument.instrumentId);
      }
    }
    await this.stop();
    return ok({ name, revision });
  }

  #createPort(portId: string, settings: SerialSettings): BytePort {
    const { practice, clock } = this.#parts;
    return practice !== null && portId === practicePortId
      ? practice.createPort(settings)
      : createSerialPort({ path: portId, settings, clock });
  }

  /** Trying every built-in profile takes a while: only when there is much new. */
  #knownProfiles(listening: Listening): TeachView['known'] {
    const { recorder } = listening;
    if (recorder.heardBytes - listening.knownAtBytes >= tryAgainBytes) {
      listening.knownAtBytes = recorder.heardBytes;
      const profiles = builtInProfileNames.flatMap((name) => findBuiltInProfile(name) ?? []);
      listening.known = rankProfiles(recorder.bytes().subarray(-tryOnBytes), profiles)
        .filter(({ accepted, refused }) => accepted > refused)
        .slice(0, 3)
        .map(({ profile, accepted, refused }) => ({ name: profile.name ?? '', accepted, refused }));
    }
    return listening.known;
  }
}

function notListening(): Result<never> {
  return refuse('not_listening', 'portId', 'No port is listened to; choose one and listen first.');
}

function isOfTorque(lesson: Extract<LessonHeard, { ok: true }>): boolean {
  const unit = lesson.value.confirmations[0]?.display.unit;
  return unit !== undefined && quantityOf(unit) === 'torque';
}
