import { z } from 'zod';
import { checkedProfileSchema, type InstrumentProfile } from '../profile.ts';
import hidScale from './hid-scale.json' with { type: 'json' };
import scaleAnyLineEnd from './scale-any-line-end.json' with { type: 'json' };
import scaleBlankWhileUnstable from './scale-blank-while-unstable.json' with { type: 'json' };
import scaleBlockByLineNumber from './scale-block-by-line-number.json' with { type: 'json' };
import scaleCommaHeader from './scale-comma-header.json' with { type: 'json' };
import scaleCommaHeaderPadded from './scale-comma-header-padded.json' with { type: 'json' };
import scaleDecimalComma from './scale-decimal-comma.json' with { type: 'json' };
import scaleDollarHexStatus from './scale-dollar-hex-status.json' with { type: 'json' };
import scaleEnquiryDialogue from './scale-enquiry-dialogue.json' with { type: 'json' };
import scaleFixedColumns from './scale-fixed-columns.json' with { type: 'json' };
import scaleFixedColumnsLabel from './scale-fixed-columns-label.json' with { type: 'json' };
import scaleFrameStatusLetter from './scale-frame-status-letter.json' with { type: 'json' };
import scaleGrossNetFrame from './scale-gross-net-frame.json' with { type: 'json' };
import scaleLabelledGross from './scale-labelled-gross.json' with { type: 'json' };
import scaleLabelledValue from './scale-labelled-value.json' with { type: 'json' };
import scaleLetterFields from './scale-letter-fields.json' with { type: 'json' };
import scaleLfCrStandard from './scale-lf-cr-standard.json' with { type: 'json' };
import scaleLfEtxStatusGroup from './scale-lf-etx-status-group.json' with { type: 'json' };
import scaleMarkBeforeLetter from './scale-mark-before-letter.json' with { type: 'json' };
import scaleMarkerFirst from './scale-marker-first.json' with { type: 'json' };
import scaleNumberedList from './scale-numbered-list.json' with { type: 'json' };
import scaleParityLeftIn from './scale-parity-left-in.json' with { type: 'json' };
import scaleParityLeftInCr from './scale-parity-left-in-cr.json' with { type: 'json' };
import scaleRequestLetter from './scale-request-letter.json' with { type: 'json' };
import scaleSlashStability from './scale-slash-stability.json' with { type: 'json' };
import scaleStatusBytesChecksum from './scale-status-bytes-checksum.json' with { type: 'json' };
import scaleTicketBlock from './scale-ticket-block.json' with { type: 'json' };
import scaleTicketGrossTareNet from './scale-ticket-gross-tare-net.json' with { type: 'json' };
import scaleTicketIdGross from './scale-ticket-id-gross.json' with { type: 'json' };
import scaleTicketNetFirst from './scale-ticket-net-first.json' with { type: 'json' };
import scaleTicketTareFirst from './scale-ticket-tare-first.json' with { type: 'json' };
import scaleTrailingMark from './scale-trailing-mark.json' with { type: 'json' };
import scaleTwoLetterPrefix from './scale-two-letter-prefix.json' with { type: 'json' };
import scaleUnitLetterState from './scale-unit-letter-state.json' with { type: 'json' };
import scaleValueAndUnit from './scale-value-and-unit.json' with { type: 'json' };
import scaleZeroPadded from './scale-zero-padded.json' with { type: 'json' };
import wrenchCommaLine from './wrench-comma-line.json' with { type: 'json' };
import wrenchCommaLineShort from './wrench-comma-line-short.json' with { type: 'json' };
import wrenchCurveDump from './wrench-curve-dump.json' with { type: 'json' };
import wrenchErrorReplies from './wrench-error-replies.json' with { type: 'json' };
import wrenchFixedColumns from './wrench-fixed-columns.json' with { type: 'json' };
import wrenchHashLine from './wrench-hash-line.json' with { type: 'json' };
import wrenchLiveThenFinal from './wrench-live-then-final.json' with { type: 'json' };
import wrenchMeasurementList from './wrench-measurement-list.json' with { type: 'json' };
import wrenchMemoryDump from './wrench-memory-dump.json' with { type: 'json' };
import wrenchPeakOnRelease from './wrench-peak-on-release.json' with { type: 'json' };
import wrenchPositionalRecord from './wrench-positional-record.json' with { type: 'json' };
import wrenchRequestLetters from './wrench-request-letters.json' with { type: 'json' };
import wrenchTrackStream from './wrench-track-stream.json' with { type: 'json' };
import wrenchValueOnKey from './wrench-value-on-key.json' with { type: 'json' };
import wrenchValuePolled from './wrench-value-polled.json' with { type: 'json' };
import wrenchValueWithBattery from './wrench-value-with-battery.json' with { type: 'json' };

/** The built-in profiles, one file for each line shape. Another one is its file and a line here, twice. */
const files: readonly unknown[] = [
  hidScale,
  scaleAnyLineEnd,
  scaleBlankWhileUnstable,
  scaleBlockByLineNumber,
  scaleCommaHeader,
  scaleCommaHeaderPadded,
  scaleDecimalComma,
  scaleDollarHexStatus,
  scaleEnquiryDialogue,
  scaleFixedColumns,
  scaleFixedColumnsLabel,
  scaleFrameStatusLetter,
  scaleGrossNetFrame,
  scaleLabelledGross,
  scaleLabelledValue,
  scaleLetterFields,
  scaleLfCrStandard,
  scaleLfEtxStatusGroup,
  scaleMarkBeforeLetter,
  scaleMarkerFirst,
  scaleNumberedList,
  scaleParityLeftIn,
  scaleParityLeftInCr,
  scaleRequestLetter,
  scaleSlashStability,
  scaleStatusBytesChecksum,
  scaleTicketBlock,
  scaleTicketGrossTareNet,
  scaleTicketIdGross,
  scaleTicketNetFirst,
  scaleTicketTareFirst,
  scaleTrailingMark,
  scaleTwoLetterPrefix,
  scaleUnitLetterState,
  scaleValueAndUnit,
  scaleZeroPadded,
  wrenchCommaLine,
  wrenchCommaLineShort,
  wrenchCurveDump,
  wrenchErrorReplies,
  wrenchFixedColumns,
  wrenchHashLine,
  wrenchLiveThenFinal,
  wrenchMeasurementList,
  wrenchMemoryDump,
  wrenchPeakOnRelease,
  wrenchPositionalRecord,
  wrenchRequestLetters,
  wrenchTrackStream,
  wrenchValueOnKey,
  wrenchValuePolled,
  wrenchValueWithBattery,
];

const namedSchema = z.looseObject({ name: z.string() });
const filesByName = new Map(files.map((file) => [namedSchema.parse(file).name, file]));
const read = new Map<string, InstrumentProfile>();

/** Names of the built-in profiles, in the order of the alphabet. */
export const builtInProfileNames: readonly string[] = [...filesByName.keys()];

/** A built-in profile by its name; undefined when there is none. Each is read once, when it is first asked for. */
export function findBuiltInProfile(name: string): InstrumentProfile | undefined {
  const known = read.get(name);
  const file = filesByName.get(name);
  if (known !== undefined || file === undefined) return known;
  // A test checks all that profiles from elsewhere are checked for; to do it at each start takes a while.
  const profile = checkedProfileSchema.parse(file);
  read.set(name, profile);
  return profile;
}
