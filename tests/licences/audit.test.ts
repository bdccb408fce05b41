import { describe, expect, it } from 'vitest';
import { readAudit } from './audit.ts';

// As npm 11 prints them (docs.npmjs.com, npm-audit, "Audit report version 2"), shortened.
const clean = { auditReportVersion: 2, vulnerabilities: {}, metadata: { vulnerabilities: { total: 0 } } };
const holed = {
  auditReportVersion: 2,
  vulnerabilities: {
    invented: { name: 'invented', severity: 'high', isDirect: true, via: [], range: '<1.2.3', nodes: [] },
    deeper: { name: 'deeper', severity: 'low', isDirect: false, via: ['x'], range: '*', nodes: [] },
  },
};
const refused = { message: '405 Method Not Allowed', statusCode: 405, body: '' };

describe('the audit of dependencies', () => {
  it('tells holes from a registry that does not answer', () => {
    expect(readAudit(JSON.stringify(clean))).toEqual({ kind: 'answered', holes: [] });
    expect(readAudit(JSON.stringify(holed))).toEqual({
      kind: 'answered',
      holes: ['high: invented <1.2.3', 'low: deeper * (brought along by another package)'],
    });
    expect(readAudit(JSON.stringify(refused))).toEqual({ kind: 'unanswered', why: '405 Method Not Allowed' });
    expect(readAudit('')).toMatchObject({ kind: 'unanswered' });
    expect(readAudit('{}')).toMatchObject({ kind: 'unanswered' });
  });
});
