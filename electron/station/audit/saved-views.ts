import { join } from 'node:path';
import { z } from 'zod';
import { mostSavedViews, type SavedView, savedViewSchema } from '../../../shared/audit/filter.ts';
import { ok, type Result, refuse } from '../../../shared/result.ts';
import { readKept, writeKept } from '../kept-file.ts';

const fileSchema = z.record(z.string(), z.array(savedViewSchema));

/**
 * Filters that people keep under names. In a file of mode 0600 at the station and not in a browser, so that they follow
 * the person to every screen. Convenience, not evidence: a lost or damaged file only means making them again.
 */
export class SavedViews {
  readonly #file: string;
  readonly #views: Map<string, readonly SavedView[]>;

  constructor(dataFolder: string) {
    this.#file = join(dataFolder, 'saved-views.json');
    this.#views = new Map(Object.entries(readKept(this.#file, fileSchema) ?? {}));
  }

  /** In the order of their names. */
  of(personId: string): readonly SavedView[] {
    return this.#views.get(personId) ?? [];
  }

  /** Keeps a view; one of the same name gives way. */
  save(personId: string, view: SavedView): Result<readonly SavedView[]> {
    const others = this.of(personId).filter(({ name }) => name !== view.name);
    if (others.length >= mostSavedViews) {
      return refuse('views_full', 'name', `${mostSavedViews} views are kept already; remove one first.`);
    }
    return ok(
      this.#keep(
        personId,
        [...others, view].sort((a, b) => a.name.localeCompare(b.name)),
      ),
    );
  }

  remove(personId: string, name: string): readonly SavedView[] {
    return this.#keep(
      personId,
      this.of(personId).filter((view) => view.name !== name),
    );
  }

  #keep(personId: string, views: readonly SavedView[]): readonly SavedView[] {
    this.#views.set(personId, views);
    writeKept(this.#file, Object.fromEntries(this.#views));
    return views;
  }
}
