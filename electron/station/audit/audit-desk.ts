import type { ExportWish } from '../../../shared/audit/filter.ts';
import type { ImpactProgress, ImpactWish } from '../../../shared/audit/impact-view.ts';
import type { ExportProgress } from '../../../shared/audit/view.ts';
import type { Result } from '../../../shared/result.ts';
import { ExportDesk, type ExportDeskParts } from './export-desk.ts';
import { createReadingRoom, type ReadingRoom } from './reading-room.ts';
import { SavedViews } from './saved-views.ts';

/** What an auditor's screen works with, at the bench or at another desk. Nothing here can write evidence. */
export class AuditDesk {
  readonly readingRoom: ReadingRoom;
  readonly savedViews: SavedViews;
  readonly exports: ExportDesk;

  constructor(parts: ExportDeskParts) {
    this.readingRoom = createReadingRoom(parts.dataFolder);
    this.savedViews = new SavedViews(parts.dataFolder);
    this.exports = new ExportDesk(parts);
  }

  /** Starts an export of what a filter names; without any field of it, of everything. */
  async startExport(
    personId: string,
    wish: ExportWish,
    tell: (progress: ExportProgress) => void,
  ): Promise<Result<{ exportId: string }>> {
    const filter = await this.readingRoom.ask('evidenceFilter', { filter: wish.filter });
    if (!filter.ok) return filter;
    const isAll = Object.values(wish.filter).every((value) => value === undefined);
    return this.exports.start(personId, wish, isAll ? null : filter.value, tell);
  }

  /** Starts judging the captures of an instrument again with what one of its calibrations found. */
  startImpact(
    personId: string,
    wish: ImpactWish,
    tell: (progress: ImpactProgress) => void,
  ): Result<{ exportId: string }> {
    return this.exports.startImpact(personId, wish, tell);
  }

  async close(): Promise<void> {
    this.exports.close();
    await this.readingRoom.close();
  }
}
