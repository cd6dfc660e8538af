/** What one shift hands to the next, as it is printed: the handover, and the time sheet of a day. */
import type { FastifyReply } from 'fastify';
import { z } from 'zod/mini';
import { handoversOf } from '../../../src/handover/handover.ts';
import { DAY, daySheets } from '../../../src/report/daySheet.ts';
import { HANDOVER, handoverSheets } from '../../../src/report/handoverSheet.ts';
import type { Sheet } from '../../../src/sheet/sheet.ts';
import { stackedSheet } from '../../../src/sheet/stackedSheet.ts';
import { svgSheet } from '../../../src/sheet/svgSheet.ts';
import { laterCauses } from '../../../src/signing/signedText.ts';
import { NoReport } from '../../report/liveReports.ts';
import { pdfSheets } from '../../report/pdfSheets.ts';
import { sheetPen } from '../../report/sheetFonts.ts';
import { attachment } from '../attachment.ts';
import { problem } from '../problem.ts';
import type { Answer, Route, Served } from '../route.ts';
import { askedHandover, handoverQuery } from './handover.ts';
import { deskOf } from './people.ts';
import { noReport, pageOf, unitsQuery } from './report.ts';
import { timeNow } from './time.ts';

/** Drawn, and what the file of it is called and dated by. */
interface DrawnSheets {
  readonly sheets: readonly Sheet[];
  readonly title: string;
  readonly ends: string;
  readonly dateMs: number;
}

const PROBLEMS = {
  400: problem('The query cannot be meant.'),
  404: problem('There is no sample yet, or nothing of this number or date.'),
  409: problem('There is no run yet, or what lies before the period is not at hand.'),
};

const shiftQuery = z.extend(handoverQuery, unitsQuery.shape);

async function drawHandover(served: Served, query: unknown): Promise<DrawnSheets> {
  const { number, units } = query as z.infer<typeof shiftQuery>;
  const { live } = served;
  const { number: of, page, closed } = await askedHandover(served, number);
  const { well = '', rig = '' } = live.plan.job ?? {};
  const signatures = deskOf(served)
    .signatures(live)
    .filter((one) => one.subject === 'handover' && one.of === String(of));
  const { entries } = live.course();
  const entry = handoversOf(entries).find((one) => one.number === of);
  const said = {
    page,
    closed: closed.find((one) => one.number === of) ?? null,
    signatures,
    laterCauses: entry ? laterCauses(entry, entries) : [],
    well,
    rig,
    runName: live.run,
    units: units ?? live.plan.units,
  };
  return {
    sheets: handoverSheets(said, await sheetPen()),
    title: of === null ? `${HANDOVER}, not closed` : `${HANDOVER} ${of}`,
    ends: `-handover${of === null ? '' : `-${of}`}.pdf`,
    dateMs: Date.parse(page.to),
  };
}

const dayQuery = z.object({
  date: z.optional(z.iso.date()).check(z.describe('On which the day begins; left out: the last one.')),
});

async function drawDay({ live }: Served, query: unknown): Promise<DrawnSheets> {
  const { date } = query as z.infer<typeof dayQuery>;
  const sheet = timeNow(live);
  if (!sheet) throw new NoReport(404, 'no sample has come yet');
  const dates = sheet.days.map((day) => day.date);
  const day = date === undefined ? dates.length - 1 : dates.indexOf(date);
  const found = sheet.days[day];
  if (!found) throw new NoReport(404, `date: found ${date}, expected one of ${dates.join(', ')}`);
  const { well = '', rig = '' } = live.plan.job ?? {};
  return {
    sheets: daySheets({ sheet, day, well, rig, runName: live.run }, await sheetPen()),
    title: `${DAY} ${found.date}`,
    ends: `-time-${found.date}.pdf`,
    dateMs: Math.min(Date.parse(found.to), Date.parse(sheet.to)),
  };
}

type Draw = (served: Served, query: unknown) => Promise<DrawnSheets>;

/** The same sheets twice: for the page, and for paper. */
function routesOf(name: string, says: string, query: z.ZodMiniObject, draw: Draw): readonly Route[] {
  const route = (
    ending: string,
    type: Answer['type'],
    send: (...all: Parameters<Route['handle']>) => unknown,
  ): Route => ({
    url: `/api/sheets/${name}.${ending}`,
    says: `${says}, as ${ending === 'svg' ? 'a drawing' : 'a PDF'}.`,
    query,
    answers: { 200: { says: 'The sheet.', type }, ...PROBLEMS },
    async handle(served, request, reply) {
      try {
        return await send(served, request, reply);
      } catch (error) {
        return noReport(reply as FastifyReply, error);
      }
    },
  });
  return [
    route('svg', 'image/svg+xml', async (served, request, reply) => {
      const { sheets } = await draw(served, request.query);
      return reply.type('image/svg+xml').send(svgSheet(stackedSheet(sheets)));
    }),
    route('pdf', 'application/pdf', async (served, request, reply) => {
      const { sheets, title, ends, dateMs } = await draw(served, request.query);
      const bytes = await pdfSheets(sheets, { title, dateMs, linkBase: pageOf(request, served.live) });
      const named = attachment(served.live.run, ends);
      return reply.type('application/pdf').header('content-disposition', named).send(Buffer.from(bytes));
    }),
  ];
}

export const SHIFT_SHEET_ROUTES: readonly Route[] = [
  ...routesOf(
    'handover',
    'The handover on one sheet: the open period, or one that was closed',
    shiftQuery,
    drawHandover,
  ),
  ...routesOf('day', 'The time sheet of one day as the rig counts them', dayQuery, drawDay),
];
