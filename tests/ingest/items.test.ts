import { describe, expect, test } from 'vitest';
import { codeText, WITS_ITEMS, witsItem } from '../../ingest/wits/items.ts';
import { RECORD_TITLES } from '../../ingest/wits/itemTable.ts';

/** API PUBL 3855, WITS version 1.1 (1 July 1991), record 1, written out by hand: code long short type length metric FPS. */
const RECORD_1 = `
0101 WELLID   WID  A 16 -    -    Well Identifier
0102 STKNUM   SKNO S 2  -    -    Sidetrack/Hole Sect No.
0103 RECID    RID  S 2  -    -    Record Identifier
0104 SEQID    SQID L 4  -    -    Sequence Identifier
0105 DATE     DATE L 4  -    -    Date
0106 TIME     TIME L 4  -    -    Time
0107 ACTCOD   ACTC S 2  -    -    Activity Code
0108 DEPTBITM DBTM F 4  M    F    Depth Bit (meas)
0109 DEPTBITV DBTV F 4  M    F    Depth Bit (vert)
0110 DEPTMEAS DMEA F 4  M    F    Depth Hole (meas)
0111 DEPTVERT DVER F 4  M    F    Depth Hole (vert)
0112 BLKPOS   BPOS F 4  M    F    Block Position
0113 ROPA     ROPA F 4  M/HR F/HR Rate of Penetration (avg)
0114 HKLA     HKLA F 4  KDN  KLB  Hookload (avg)
0115 HKLX     HKLX F 4  KDN  KLB  Hookload (max)
0116 WOBA     WOBA F 4  KDN  KLB  Weight-on-Bit (surf,avg)
0117 WOBX     WOBX F 4  KDN  KLB  Weight-on-Bit (surf,max)
0118 TORQA    TQA  F 4  KNM  KFLB Rotary Torque (surf,avg)
0119 TORQX    TQX  F 4  KNM  KFLB Rotary Torque (surf,max)
0120 RPMA     RPMA S 2  RPM  RPM  Rotary Speed (surf,avg)
0121 SPPA     SPPA F 4  KPA  PSI  Standpipe Pressure (avg)
0122 CHKP     CHKP F 4  KPA  PSI  Casing (Choke) Pressure
0123 SPM1     SPM1 S 2  SPM  SPM  Pump Stroke Rate #1
0124 SPM2     SPM2 S 2  SPM  SPM  Pump Stroke Rate #2
0125 SPM3     SPM3 S 2  SPM  SPM  Pump Stroke Rate #3
0126 TVOLACT  TVA  F 4  M3   BBL  Tank Volume (active)
0127 TVOLCACT TVCA F 4  M3   BBL  Tank Volume Change (act)
0128 MFOP     MFOP S 2  %    %    Mud Flow Out %
0129 MFOA     MFOA F 4  L/M  GPM  Mud Flow Out (avg)
0130 MFIA     MFIA F 4  L/M  GPM  Mud Flow In (avg)
0131 MDOA     MDOA F 4  KGM3 PPG  Mud Density Out (avg)
0132 MDIA     MDIA F 4  KGM3 PPG  Mud Density In (avg)
0133 MTOA     MTOA F 4  DEGC DEGF Mud Temperature Out (avg)
0134 MTIA     MTIA F 4  DEGC DEGF Mud Temperature In (avg)
0135 MCOA     MCOA F 4  MMHO MMHO Mud Conductivity Out (avg)
0136 MCIA     MCIA F 4  MMHO MMHO Mud Conductivity In (avg)
0137 STKC     STKC L 4  -    -    Pump Stroke Count (cum)
0138 LAGSTKS  LSTK S 2  -    -    Lag Strokes
0139 DEPTRETM DRTM F 4  M    F    Depth Returns (meas)
0140 GASA     GASA F 4  %    %    Gas (avg)
0141 SPARE1   SPR1 F 4  -    -    <SPARE 1>
0142 SPARE2   SPR2 F 4  -    -    <SPARE 2>
0143 SPARE3   SPR3 F 4  -    -    <SPARE 3>
0144 SPARE4   SPR4 F 4  -    -    <SPARE 4>
0145 SPARE5   SPR5 F 4  -    -    <SPARE 5>`
  .trim()
  .split('\n');

/** Items of each record, 1 to 25, in the same standard. */
const TOTALS = [45, 36, 26, 39, 23, 34, 26, 55, 29, 33, 35, 28, 48, 29, 59, 46, 38, 31, 94, 65, 49, 10, 37, 64, 52];

describe('WITS item table', () => {
  test('record 1 is the published one, item by item', () => {
    const ours = WITS_ITEMS.filter((item) => item.record === 1);
    expect(ours.length).toBe(RECORD_1.length);
    RECORD_1.forEach((row, i) => {
      const [code, long, short, type, length, metric, field, ...description] = row.split(/\s+/);
      expect(ours[i]).toEqual({
        code: Number(code),
        record: 1,
        item: i + 1,
        long,
        short,
        type,
        length: Number(length),
        units: { metric: metric === '-' ? '' : metric, field: field === '-' ? '' : field },
        description: description.join(' '),
      });
    });
  });

  test('every record has its published number of items, numbered without a hole', () => {
    expect(WITS_ITEMS.length).toBe(1031);
    TOTALS.forEach((total, i) => {
      const items = WITS_ITEMS.filter((item) => item.record === i + 1).map((item) => item.item);
      expect(items).toEqual(Array.from({ length: total }, (_, k) => k + 1));
    });
    expect(Object.keys(RECORD_TITLES).map(Number)).toEqual(TOTALS.map((_, i) => i + 1));
  });

  test('every row is well formed', () => {
    for (const item of WITS_ITEMS) {
      expect(item.type, codeText(item.code)).toMatch(/^[ASLF]$/);
      expect(item.length).toBeGreaterThan(0);
      expect(item.long).toMatch(/^[A-Z0-9#%/-]+$/);
      expect(item.description).not.toBe('');
      expect(item.units.metric).not.toMatch(/^-|\s/);
      expect(item.units.field).not.toMatch(/^-|\s/);
    }
  });

  test('a code finds its item, a custom code finds none', () => {
    expect(witsItem(513)).toMatchObject({ long: 'STATUSIS', type: 'A', length: 2 });
    expect(witsItem(150)).toBeUndefined();
    expect(witsItem(6001)).toBeUndefined();
    expect(codeText(108)).toBe('0108');
  });
});
