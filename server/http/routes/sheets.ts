import { z } from 'zod/mini';
import { VERDICTS } from '../../../src/causes.ts';
import { expandedJoints, jointKey, shownJoint } from '../../../src/report/facts.ts';
import { jointSheet } from '../../../src/report/jointSheet.ts';
import { svgSheet } from '../../../src/sheet/svgSheet.ts';
import { NoReport } from '../../report/liveReports.ts';
import { sheetPen } from '../../report/sheetFonts.ts';
import type { Route } from '../route.ts';
import { noReport, REPORT_PROBLEMS, reportsOf, unitsQuery } from './report.ts';

const sheetSchema = z.object({
  key: z.string(),
  joint: z.string(),
  verdict: z.enum(VERDICTS),
  /** What a person decided on it. */
  decision: z.nullable(z.enum(['accept', 'reject'])),
  href: z.string(),
});
const sheetsSchema = z.object({ sheets: z.array(sheetSchema) });

const ENDING = '.svg';

export const sheetsRoute: Route = {
  url: '/api/sheets',
  says: 'The sheets of the run so far: one for each joint that is to be expanded, top down.',
  query: unitsQuery,
  answers: { 200: { says: 'The sheets.', type: 'application/json', schema: sheetsSchema }, ...REPORT_PROBLEMS },
  async handle(served, request, reply) {
    const { units } = request.query as z.infer<typeof unitsQuery>;
    // The live run’s, or that of a run of the library.
    const folder = `${request.url.split('?')[0]}/joint/`;
    const query = units === undefined ? '' : `?units=${units}`;
    try {
      return await reportsOf(served).facts(
        units,
        async (facts): Promise<z.infer<typeof sheetsSchema>> => ({
          sheets: expandedJoints(facts).map(({ name }) => ({
            key: jointKey(name),
            joint: name,
            verdict: shownJoint(facts, name).verdict,
            decision: shownJoint(facts, name).decision?.action ?? null,
            href: `${folder}${encodeURIComponent(name)}${ENDING}${query}`,
          })),
        }),
      );
    } catch (error) {
      return noReport(reply, error);
    }
  },
};

export const jointSheetRoute: Route = {
  url: '/api/sheets/joint/:joint',
  says: 'The sheet of one joint of the run so far: the name of the joint and .svg.',
  query: unitsQuery,
  params: z.object({ joint: z.string() }),
  answers: { 200: { says: 'The sheet.', type: 'image/svg+xml' }, ...REPORT_PROBLEMS },
  async handle(served, request, reply) {
    const { units } = request.query as z.infer<typeof unitsQuery>;
    const { joint: asked } = request.params as { joint: string };
    const name = asked.endsWith(ENDING) ? asked.slice(0, -ENDING.length) : null;
    try {
      const svg = await reportsOf(served).facts(units, async (facts) => {
        const joint = expandedJoints(facts).find((one) => one.name === name);
        if (!joint) throw new NoReport(404, 'the plan has no joint of this name that is to be expanded');
        return svgSheet(jointSheet(facts, await sheetPen(), joint));
      });
      return reply.type('image/svg+xml').send(svg);
    } catch (error) {
      return noReport(reply, error);
    }
  },
};
