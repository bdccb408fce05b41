/** Aborted when somebody ends the run: a trial of many starts ends after its round, and its row says how many it had. */
export const interruption = new AbortController();
