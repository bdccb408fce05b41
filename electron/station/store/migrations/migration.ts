/** One step of the schema. Steps are never edited once released; a change is a new step. */
export interface Migration {
  /** The `user_version` after this step. */
  readonly version: number;
  readonly sql: string;
}
