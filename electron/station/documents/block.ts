import type { BandPicture } from './band-picture.ts';

/** Status is said by shape, word and colour at once. */
export type Shape = 'disc' | 'triangle' | 'point-down' | 'square' | 'diamond' | 'ring';
export type Tone = 'good' | 'warning' | 'bad' | 'neutral';
export interface Mark {
  readonly shape: Shape;
  readonly tone: Tone;
  readonly word: string;
}

export interface Fact {
  readonly label: string;
  readonly text: string;
}

export interface TableColumn {
  readonly label: string;
  /** Width as a share of the table; the shares of a table add up to 1. */
  readonly share: number;
  readonly align?: 'right';
}
/** A cell: text, or a mark whose word is the text. */
export type Cell = string | Mark;

/** One thing that happened, with its number in the job (0 is the opening), time and person. */
export interface EntryHead {
  readonly eventNumber: number;
  readonly at: string;
  readonly person: string;
}

export interface CaptureBlock extends EntryHead {
  readonly kind: 'capture';
  /** `Attempt 2 of 3, final`. */
  readonly attempt: string;
  /** False for attempts that a later one took the place of. */
  readonly isFinal: boolean;
  readonly mark: Mark;
  readonly value: string;
  readonly uncertainty: string;
  readonly conformance: string;
  readonly picture: BandPicture;
  readonly facts: readonly Fact[];
  readonly amended: string | null;
}

/** What a document consists of, before anything is measured or drawn. */
export type Block =
  | {
      readonly kind: 'masthead';
      readonly title: string;
      readonly label: string;
      readonly subject: string;
      readonly lines: readonly string[];
      readonly mark: Mark;
    }
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'facts'; readonly columns: 1 | 2; readonly facts: readonly Fact[] }
  | { readonly kind: 'paragraph'; readonly text: string; readonly label?: string }
  | { readonly kind: 'notice'; readonly tone: Tone; readonly title: string; readonly text: string }
  | {
      readonly kind: 'table';
      readonly columns: readonly TableColumn[];
      readonly rows: readonly (readonly Cell[])[];
    }
  | {
      readonly kind: 'step';
      readonly number: number;
      readonly title: string;
      readonly word: string;
      readonly mark: Mark;
    }
  | ({
      readonly kind: 'entry';
      readonly text: string;
      readonly mark: Mark | null;
      readonly facts: readonly Fact[];
      readonly amended: string | null;
    } & EntryHead)
  | CaptureBlock
  | { readonly kind: 'legend'; readonly texts: LegendTexts };

export interface LegendTexts {
  readonly legend: string;
  readonly tolerance: string;
  readonly acceptance: string;
  readonly target: string;
  readonly value: string;
  readonly uncertainty: string;
}

/** Blocks that begin on a page of their own and share header, footer and watermark. */
export interface Section {
  /** In the outline of the file. */
  readonly title: string;
  readonly headerLeft: string;
  readonly headerRight: string;
  readonly footerLeft: string;
  readonly footerRight: string;
  /** Across every page; empty for none. */
  readonly watermark: string;
  readonly blocks: readonly Block[];
}

/** A whole document, the same for screen and command line. */
export interface DocumentModel {
  readonly title: string;
  readonly subject: string;
  readonly author: string;
  readonly language: string;
  /** ISO 8601; stands as the creation date, so that the same record always gives the same bytes. */
  readonly createdAt: string;
  page(page: number, pages: number): string;
  readonly sections: readonly Section[];
}
