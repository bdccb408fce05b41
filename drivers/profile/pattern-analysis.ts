import { createRequire } from 'node:module';

type Scslre = typeof import('scslre');
export type PatternAnalysis = import('scslre').AnalysisResult;

const require = createRequire(import.meta.url);
let scslre: Scslre | undefined;

/** Parses an expression and reports what may be slow in it. Throws SyntaxError. */
export const analysePattern: Scslre['analyse'] = (literal, options) => {
  // When the first expression is analysed and not before: a station starts a tenth sooner, and most never need it.
  scslre ??= require('scslre') as Scslre;
  return scslre.analyse(literal, options);
};
