import type { ImpactReportView } from '../../../shared/audit/impact-view.ts';
import type { VisitPlaceView } from '../../../shared/audit/view.ts';
import { type CsvStyle, csvOf } from './csv.ts';
import type { ImpactEntry } from './impact.ts';
import { type ImpactHead, ImpactTally, impactColumns, impactRow } from './impact-report.ts';
import { placeColumns, placeRow } from './place-row.ts';
import { wholeFile } from './whole-file.ts';

/** The table of all captures that are judged again, which grows one by one, and the report of them. */
export interface ImpactFile {
  add(entry: ImpactEntry | 'altered', place?: VisitPlaceView): void;
  /** Captures looked at, also those that were altered. */
  seen(): number;
  /** The file is complete. */
  complete(head: ImpactHead): ImpactReportView;
  /** Without having been completed it leaves nothing. */
  close(): void;
}

/** @param places columns for where each capture was made, at the desk of a site */
export function impactFile(target: string, style: CsvStyle, places: boolean): ImpactFile {
  const columns = [...(places ? placeColumns : []), ...impactColumns];
  const tally = new ImpactTally();
  const file = wholeFile(target);
  file.write(csvOf([], columns, style, true));
  return {
    add(entry, place) {
      tally.add(entry, place);
      if (entry === 'altered') return;
      file.write(csvOf([{ ...(place && placeRow(place)), ...impactRow(entry) }], columns, style, false));
    },
    seen: () => tally.seen,
    complete(head) {
      file.complete();
      return tally.report(head);
    },
    close: () => file.close(),
  };
}
