import type { Clock } from '../../drivers/port/clock.ts';
import { canonicalJson } from '../../shared/evidence/canonical-json.ts';
import { dayOf } from '../../shared/identifier.ts';
import type { Result } from '../../shared/result.ts';
import { decideSheet, type SheetCommand, type SheetContext } from '../../shared/sheet/decide-sheet.ts';
import {
  foldSheet,
  revisionInForce,
  type SheetEvent,
  type SheetState,
  sheetEventSchema,
} from '../../shared/sheet/revision.ts';
import type { PinnedSheet, ServiceSheet } from '../../shared/sheet/sheet.ts';
import { Registry } from './registry.ts';
import { sha256 } from './store/sha256.ts';
import type { Store } from './store/store.ts';

/** Service sheets: their revisions, and which one new jobs pin. */
export class SheetDesk {
  readonly registry: Registry<SheetState, SheetEvent>;
  readonly #clock: Clock;

  constructor(store: Store, clock: Clock) {
    this.registry = new Registry(store, { prefix: 'sheet/', schema: sheetEventSchema, fold: foldSheet });
    this.#clock = clock;
  }

  /** Sheets that new jobs may pin today, by title. */
  inForce(): readonly ServiceSheet[] {
    const today = dayOf(this.#clock.wallTime());
    return this.registry
      .all()
      .flatMap((state) => revisionInForce(state, today)?.sheet ?? [])
      .sort((a, b) => a.title.en.localeCompare(b.title.en));
  }

  /** The sheet in force for a head, or that one sheet of it. */
  forHead(headId: string, sheetId: string | undefined): PinnedSheet | undefined {
    const sheet = this.inForce().find(
      (candidate) =>
        candidate.head.headId === headId && (sheetId === undefined || candidate.sheetId === sheetId),
    );
    return sheet && { sheet, hash: sha256(canonicalJson(sheet)) };
  }

  /** Drafts, submits, approves or withdraws a revision. */
  command(command: SheetCommand, context: Omit<SheetContext, 'at'>): Result<SheetState | undefined> {
    const sheetId = command.kind === 'draftSheet' ? command.sheet.sheetId : command.sheetId;
    const events = decideSheet(this.registry.get(sheetId), command, {
      ...context,
      at: this.#clock.wallTime(),
    });
    if (!events.ok) return events;
    const stored = this.registry.append(sheetId, events.value, context.person.personId);
    return stored.ok ? { ok: true, value: this.registry.get(sheetId) } : stored;
  }
}
