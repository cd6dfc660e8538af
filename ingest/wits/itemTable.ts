/**
 * The items of WITS level 0, records 1 to 25: API PUBL 3855, version 1.1 (1 July 1991). One row an item:
 * code | long mnemonic | short mnemonic | type | length | metric unit | FPS unit | description.
 * Type: A text, S and L integers, F float; the length is that of the binary form (level 1), in bytes. No unit is empty.
 * Printed oddities are kept where they are names (2455 repeats the mnemonic of 2454); unit columns of dashes of any
 * length mean "no unit", and the length of 0223, which is not printed, is that of every other F item.
 */
export const RECORD_TITLES: Readonly<Record<number, string>> = {
  1: 'General time-based',
  2: 'Drilling depth-based',
  3: 'Drilling connections',
  4: 'Hydraulics',
  5: 'Tripping/casing run time-based',
  6: 'Tripping/casing connection-based',
  7: 'Survey / directional',
  8: 'MWD formation evaluation',
  9: 'MWD mechanical',
  10: 'Pressure evaluation',
  11: 'Mud tank volumes',
  12: 'Chromatograph gases cycle-based',
  13: 'Chromatograph gases depth-based',
  14: 'Lagged continuous mud properties',
  15: 'Cuttings / lithology',
  16: 'Hydrocarbon show',
  17: 'Cementing',
  18: 'Drill stem testing',
  19: 'Configuration',
  20: 'Mud report',
  21: 'Bit report',
  22: 'Remarks',
  23: 'Well identification',
  24: 'Vessel motion / mooring status',
  25: 'Weather / sea state',
};

export const ITEM_ROWS = `
0101|WELLID|WID|A|16|||Well Identifier
0102|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0103|RECID|RID|S|2|||Record Identifier
0104|SEQID|SQID|L|4|||Sequence Identifier
0105|DATE|DATE|L|4|||Date
0106|TIME|TIME|L|4|||Time
0107|ACTCOD|ACTC|S|2|||Activity Code
0108|DEPTBITM|DBTM|F|4|M|F|Depth Bit (meas)
0109|DEPTBITV|DBTV|F|4|M|F|Depth Bit (vert)
0110|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0111|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0112|BLKPOS|BPOS|F|4|M|F|Block Position
0113|ROPA|ROPA|F|4|M/HR|F/HR|Rate of Penetration (avg)
0114|HKLA|HKLA|F|4|KDN|KLB|Hookload (avg)
0115|HKLX|HKLX|F|4|KDN|KLB|Hookload (max)
0116|WOBA|WOBA|F|4|KDN|KLB|Weight-on-Bit (surf,avg)
0117|WOBX|WOBX|F|4|KDN|KLB|Weight-on-Bit (surf,max)
0118|TORQA|TQA|F|4|KNM|KFLB|Rotary Torque (surf,avg)
0119|TORQX|TQX|F|4|KNM|KFLB|Rotary Torque (surf,max)
0120|RPMA|RPMA|S|2|RPM|RPM|Rotary Speed (surf,avg)
0121|SPPA|SPPA|F|4|KPA|PSI|Standpipe Pressure (avg)
0122|CHKP|CHKP|F|4|KPA|PSI|Casing (Choke) Pressure
0123|SPM1|SPM1|S|2|SPM|SPM|Pump Stroke Rate #1
0124|SPM2|SPM2|S|2|SPM|SPM|Pump Stroke Rate #2
0125|SPM3|SPM3|S|2|SPM|SPM|Pump Stroke Rate #3
0126|TVOLACT|TVA|F|4|M3|BBL|Tank Volume (active)
0127|TVOLCACT|TVCA|F|4|M3|BBL|Tank Volume Change (act)
0128|MFOP|MFOP|S|2|%|%|Mud Flow Out %
0129|MFOA|MFOA|F|4|L/M|GPM|Mud Flow Out (avg)
0130|MFIA|MFIA|F|4|L/M|GPM|Mud Flow In (avg)
0131|MDOA|MDOA|F|4|KGM3|PPG|Mud Density Out (avg)
0132|MDIA|MDIA|F|4|KGM3|PPG|Mud Density In (avg)
0133|MTOA|MTOA|F|4|DEGC|DEGF|Mud Temperature Out (avg)
0134|MTIA|MTIA|F|4|DEGC|DEGF|Mud Temperature In (avg)
0135|MCOA|MCOA|F|4|MMHO|MMHO|Mud Conductivity Out (avg)
0136|MCIA|MCIA|F|4|MMHO|MMHO|Mud Conductivity In (avg)
0137|STKC|STKC|L|4|||Pump Stroke Count (cum)
0138|LAGSTKS|LSTK|S|2|||Lag Strokes
0139|DEPTRETM|DRTM|F|4|M|F|Depth Returns (meas)
0140|GASA|GASA|F|4|%|%|Gas (avg)
0141|SPARE1|SPR1|F|4|||<SPARE 1>
0142|SPARE2|SPR2|F|4|||<SPARE 2>
0143|SPARE3|SPR3|F|4|||<SPARE 3>
0144|SPARE4|SPR4|F|4|||<SPARE 4>
0145|SPARE5|SPR5|F|4|||<SPARE 5>
0201|WELLID|WID|A|16|||Well Identifier
0202|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0203|RECID|RID|S|2|||Record Identifier
0204|SEQID|SQID|L|4|||Sequence Identifier
0205|DATE|DATE|L|4|||Date
0206|TIME|TIME|L|4|||Time
0207|ACTCOD|ACTC|S|2|||Activity Code
0208|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0209|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0210|ROPA|ROPA|F|4|M/HR|F/HR|Rate of Penetration (avg)
0211|WOBA|WOBA|F|4|KDN|KLB|Weight-on-Bit (surf,avg)
0212|HKLA|HKLA|F|4|KDN|KLB|Hookload (avg)
0213|SPPA|SPPA|F|4|KPA|PSI|Standpipe Pressure (avg)
0214|TORQA|TQA|F|4|KNM|KFLB|Rotary Torque (surf,avg)
0215|RPMA|RPMA|S|2|RPM|RPM|Rotary Speed (surf,avg)
0216|BTREVC|BRVC|L|4|||Bit Revolutions (cum)
0217|MDIA|MDIA|F|4|KGM3|PPG|Mud Density In (avg)
0218|ECDTD|ECDT|F|4|KGM3|PPG|ECD at Total Depth
0219|MFIA|MFIA|F|4|L/M|GPM|Mud Flow In (avg)
0220|MFOA|MFOA|F|4|L/M|GPM|Mud Flow Out (avg)
0221|MFOP|MFOP|S|2|%|%|Mud Flow Out %
0222|TVOLACT|TVA|F|4|M3|BBL|Tank Volume (active)
0223|CPDI|CPDI|F|4|$/M|$/F|Cost/Distance (inst)
0224|CPDC|CPDC|F|4|$/M|$/F|Cost/Distance (cum)
0225|BTDTIME|BDTI|F|4|HR|HR|Bit Drilled Time
0226|BTDDIST|BDDI|F|4|M|F|Bit Drilled Distance
0227|DXC|DXC|F|4|||Corr. Drilling Exponent
0228|SPARE1|SPR1|F|4|||<SPARE 1>
0229|SPARE2|SPR2|F|4|||<SPARE 2>
0230|SPARE3|SPR3|F|4|||<SPARE 3>
0231|SPARE4|SPR4|F|4|||<SPARE 4>
0232|SPARE5|SPR5|F|4|||<SPARE 5>
0233|SPARE6|SPR6|F|4|||<SPARE 6>
0234|SPARE7|SPR7|F|4|||<SPARE 7>
0235|SPARE8|SPR8|F|4|||<SPARE 8>
0236|SPARE9|SPR9|F|4|||<SPARE 9>
0301|WELLID|WID|A|16|||Well Identifier
0302|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0303|RECID|RID|S|2|||Record Identifier
0304|SEQID|SQID|L|4|||Sequence Identifier
0305|DATE|DATE|L|4|||Date
0306|TIME|TIME|L|4|||Time
0307|ACTCOD|ACTC|S|2|||Activity Code
0308|DEPTCONM|DCNM|F|4|M|F|Depth Connection (meas)
0309|DEPTCONV|DCNV|F|4|M|F|Depth Connection (vert)
0310|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0311|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0312|ETIMEBTS|ETBS|S|2|SEC|SEC|Elapsed Time Bottom-Slips
0313|ETIMESLP|ETSL|S|2|SEC|SEC|Elapsed Time In-Slips
0314|ETIMESTB|ETSB|S|2|SEC|SEC|Elapsed Time Slips-Bottom
0315|ETIMEPOF|ETPO|S|2|SEC|SEC|Elapsed Time Pumps-Off
0316|RSUX|RSUX|F|4|M/S|FPM|Running Speed - up (max)
0317|RSDX|RSDX|F|4|M/S|FPM|Running Speed - down (max)
0318|HKLX|HKLX|F|4|KDN|KLB|Hookload (max)
0319|STRGWT|STWT|F|4|KDN|KLB|String Weight (rot,avg)
0320|TORQMUX|TQMX|F|4|KNM|KFLB|Torque - Make Up (max)
0321|TORQBOX|TQBX|F|4|KNM|KFLB|Torque - Breakout (max)
0322|SPARE1|SPR1|F|4|||<SPARE 1>
0323|SPARE2|SPR2|F|4|||<SPARE 2>
0324|SPARE3|SPR3|F|4|||<SPARE 3>
0325|SPARE4|SPR4|F|4|||<SPARE 4>
0326|SPARE5|SPR5|F|4|||<SPARE 5>
0401|WELLID|WID|A|16|||Well Identifier
0402|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0403|RECID|RID|S|2|||Record Identifier
0404|SEQID|SQID|L|4|||Sequence Identifier
0405|DATE|DATE|L|4|||Date
0406|TIME|TIME|L|4|||Time
0407|ACTCOD|ACTC|S|2|||Activity Code
0408|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0409|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0410|DEPTBITM|DBTM|F|4|M|F|Depth Bit (meas)
0411|DEPTBITV|DBTV|F|4|M|F|Depth Bit (vert)
0412|MDIA|MDIA|F|4|KGM3|PPG|Mud Density In (avg)
0413|MFIA|MFIA|F|4|L/M|GPM|Mud Flow In (avg)
0414|SPPA|SPPA|F|4|KPA|PSI|Standpipe Pressure (avg)
0415|PV|PV|F|4|CP|CP|Plastic Viscosity
0416|YP|YP|F|4|PA|PHSF|Yield Point
0417|PLB|PLB|F|4|KPA|PSI|Pressure Loss - bit
0418|PLDS|PLDS|F|4|KPA|PSI|Pressure Loss - string
0419|PLA|PLA|F|4|KPA|PSI|Pressure Loss - annulus
0420|PLSU|PLSU|F|4|KPA|PSI|Pressure Loss - surface
0421|PLMM|PLMM|F|4|KPA|PSI|Pressure Loss - mud motor
0422|PLMWD|PLMW|F|4|KPA|PSI|Pressure Loss - MWD tool
0423|PLPB|PLPB|F|4|%|%|Pressure Loss - % at bit
0424|BHP|BHP|F|4|KW|HP|Bit Hydraulic Power
0425|BHPA|BHPA|F|4|KWM2|HSI|Bit Hydraulic Power/Area
0426|JIF|JIF|F|4|KDN|LB|Jet Impact Force
0427|JV|JV|F|4|M/S|FPS|Jet Velocity
0428|AVELN|AVN|F|4|M/S|FPM|Annular Velocity (min)
0429|AVELX|AVX|F|4|M/S|FPM|Annular Velocity (max)
0430|ECDTD|ECDT|F|4|KGM3|PPG|ECD at Total Depth
0431|ECDBIT|ECDB|F|4|KGM3|PPG|ECD at Bit
0432|ECDCSG|ECDC|F|4|KGM3|PPG|ECD at Casing Shoe
0433|PHP|PHP|F|4|KW|HP|Pump Hydraulic Power
0434|PLCO|PLCO|F|4|%|%|Calc/Obs Press.Loss ratio
0435|SPARE1|SPR1|F|4|||<SPARE 1>
0436|SPARE2|SPR2|F|4|||<SPARE 2>
0437|SPARE3|SPR3|F|4|||<SPARE 3>
0438|SPARE4|SPR4|F|4|||<SPARE 4>
0439|SPARE5|SPR5|F|4|||<SPARE 5>
0501|WELLID|WID|A|16|||Well Identifier
0502|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0503|RECID|RID|S|2|||Record Identifier
0504|SEQID|SQID|L|4|||Sequence Identifier
0505|DATE|DATE|L|4|||Date
0506|TIME|TIME|L|4|||Time
0507|ACTCOD|ACTC|S|2|||Activity Code
0508|DEPTBITM|DBTM|F|4|M|F|Depth Bit (meas)
0509|DEPTBITV|DBTV|F|4|M|F|Depth Bit (vert)
0510|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0511|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0512|TRIPNUM|TNUM|S|2|||Trip Number
0513|STATUSIS|STIS|A|2|||In-Slips Status
0514|HKLA|HKLA|F|4|KDN|KLB|Hookload (avg)
0515|BLKPOS|BPOS|F|4|M|F|Block Position
0516|RSUX|RSUX|F|4|M/S|FPM|Running Speed - up (max)
0517|RSDX|RSDX|F|4|M/S|FPM|Running Speed - down (max)
0518|FVOLOC|FVOC|F|4|M3|BBL|Fill/Gain Volume Obs.(cum)
0519|SPARE1|SPR1|F|4|||<SPARE 1>
0520|SPARE2|SPR2|F|4|||<SPARE 2>
0521|SPARE3|SPR3|F|4|||<SPARE 3>
0522|SPARE4|SPR4|F|4|||<SPARE 4>
0523|SPARE5|SPR5|F|4|||<SPARE 5>
0601|WELLID|WID|A|16|||Well Identifier
0602|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0603|RECID|RID|S|2|||Record Identifier
0604|SEQID|SQID|L|4|||Sequence Identifier
0605|DATE|DATE|L|4|||Date
0606|TIME|TIME|L|4|||Time
0607|ACTCOD|ACTC|S|2|||Activity Code
0608|DEPTBITM|DBTM|F|4|M|F|Depth Bit (meas)
0609|DEPTBITV|DBTV|F|4|M|F|Depth Bit (vert)
0610|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0611|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0612|TRIPNUM|TNUM|S|2|||Trip Number
0613|CONNDONE|CDON|S|2|||Connections Done
0614|CONNREM|CREM|S|2|||Connections Remaining
0615|ETIMESLP|ETSL|S|2|SEC|SEC|Elapsed Time In-Slips
0616|ETIMEOS|ETOS|S|2|SEC|SEC|Elapsed Time Out-of-Slips
0617|RSUX|RSUX|F|4|M/S|FPM|Running Speed -up (max)
0618|RSUA|RSUA|F|4|M/S|FPM|Running Speed -up (avg)
0619|RSDX|RSDX|F|4|M/S|FPM|Running Speed -down (max)
0620|RSDA|RSDA|F|4|M/S|FPM|Running Speed -down (avg)
0621|HKLX|HKLX|F|4|KDN|KLB|Hookload (max)
0622|HKLN|HKLN|F|4|KDN|KLB|Hookload (min)
0623|HKLA|HKLA|F|4|KDN|KLB|Hookload (avg)
0624|TORQMUX|TQMX|F|4|KNM|KFLB|Torque - Make Up (max)
0625|TORQBOX|TQBX|F|4|KNM|KFLB|Torque - Breakout (max)
0626|FVOLO|FVO|F|4|M3|BBL|Fill/Gain Volume Obs.
0627|FVOLE|FVE|F|4|M3|BBL|Fill/Gain Volume Exp.
0628|FVOLOC|FVOC|F|4|M3|BBL|Fill/Gain Volume Obs.(cum)
0629|FVOLEC|FVEC|F|4|M3|BBL|Fill/Gain Volume Exp (cum)
0630|SPARE1|SPR1|F|4|||<SPARE 1>
0631|SPARE2|SPR2|F|4|||<SPARE 2>
0632|SPARE3|SPR3|F|4|||<SPARE 3>
0633|SPARE4|SPR4|F|4|||<SPARE 4>
0634|SPARE5|SPR5|F|4|||<SPARE 5>
0701|WELLID|WID|A|16|||Well Identifier
0702|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0703|RECID|RID|S|2|||Record Identifier
0704|SEQID|SQID|L|4|||Sequence Identifier
0705|DATE|DATE|L|4|||Date
0706|TIME|TIME|L|4|||Time
0707|ACTCOD|ACTC|S|2|||Activity Code
0708|DEPTSVYM|DSVM|F|4|M|F|Depth Svy/reading (meas)
0709|DEPTSVYV|DSVV|F|4|M|F|Depth Svy/reading (vert)
0710|PASSNUM|PASS|S|2|||Pass Number
0711|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0712|SVYTYPE|STYP|A|8|||Svy Type
0713|SVYINC|SINC|F|4|DEG|DEG|Svy Inclination
0714|SVYAZU|SAZU|F|4|DEG|DEG|Svy Azimuth (uncorrected)
0715|SVYAZC|SAZC|F|4|DEG|DEG|Svy Azimuth (corrected)
0716|SVYMTF|SMTF|F|4|DEG|DEG|Svy Magnetic Toolface
0717|SVYGTF|SGTF|F|4|DEG|DEG|Svy Gravity Toolface
0718|SVYNS|SNS|F|4|M|F|Svy North-South Position
0719|SVYEW|SEW|F|4|M|F|Svy East-West Position
0720|SVYDLS|SDLS|F|4|DGHM|DGHF|Svy Dog Leg Severity
0721|SVYWALK|SWLK|F|4|DGHM|DGHF|Svy Rate of Walk
0722|SPARE1|SPR1|F|4|||<SPARE 1>
0723|SPARE2|SPR2|F|4|||<SPARE 2>
0724|SPARE3|SPR3|F|4|||<SPARE 3>
0725|SPARE4|SPR4|F|4|||<SPARE 4>
0726|SPARE5|SPR5|F|4|||<SPARE 5>
0801|WELLID|WID|A|16|||Well Identifier
0802|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0803|RECID|RID|S|2|||Record Identifier
0804|SEQID|SQID|L|4|||Sequence Identifier
0805|DATE|DATE|L|4|||Date
0806|TIME|TIME|L|4|||Time
0807|ACTCOD|ACTC|S|2|||Activity Code
0808|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0809|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0810|DEPTBITM|DBTM|F|4|M|F|Depth Bit (meas)
0811|DEPTBITV|DBTV|F|4|M|F|Depth Bit (vert)
0812|PASSNUM|PASS|S|2|||Pass Number
0813|DEPTRS1M|DR1M|F|4|M|F|Depth Resis 1 sensor (meas)
0814|DEPTRS1V|DR1V|F|4|M|F|Depth Resis 1 sensor (vert)
0815|MR1|MR1|F|4|OHMM|OHMM|Resis 1 reading
0816|MR1C|MR1C|F|4|OHMM|OHMM|Resis 1 (borehole corr)
0817|DEPTRS2M|DR2M|F|4|M|F|Depth Resis 2 sensor (meas)
0818|DEPTRS2V|DR2V|F|4|M|F|Depth Resis 2 sensor (vert)
0819|MR2|MR2|F|4|OHMM|OHMM|Resis 2 reading
0820|MR2C|MR2C|F|4|OHMM|OHMM|Resis 2 (borehole corr)
0821|DEPTGR1M|DG1M|F|4|M|F|Depth G.Ray 1 sensor(meas)
0822|DEPTGR1V|DG1V|F|4|M|F|Depth G.Ray 1 sensor(vert)
0823|MG1|MG1|F|4|API|API|Gamma Ray 1 reading
0824|MG1C|MG1C|F|4|API|API|Gamma Ray 1(borehole corr)
0825|DEPTGR2M|DG2M|F|4|M|F|Depth G.Ray 2 sensor(meas)
0826|DEPTGR2V|DG2V|F|4|M|F|Depth G.Ray 2 sensor(vert)
0827|MG2|MG2|F|4|API|API|Gamma Ray 2 reading
0828|MG2C|MG2C|F|4|API|API|Gamma Ray 2(borehole corr)
0829|DEPTP1M|DP1M|F|4|M|F|Depth Por 1 sensor (meas)
0830|DEPTP1V|DP1V|F|4|M|F|Depth Por 1 sensor (vert)
0831|MPO1|MPO1|F|4|||Porosity Tool 1 reading
0832|DEPTP2M|DP2M|F|4|M|F|Depth Por 2 sensor (meas)
0833|DEPTP2V|DP2V|F|4|M|F|Depth Por 2 sensor (vert)
0834|MPO2|MPO2|F|4|||Porosity Tool 2 reading
0835|MFTANN|MFTA|F|4|DEGC|DEGF|Downhole Fluid Temp (ann)
0836|MFTPIPE|MFTP|F|4|DEGC|DEGF|Downhole Fluid Temp (pipe)
0837|MFRANN|MFRA|F|4|OHMM|OHMM|Downhole Fluid Resis (ann)
0838|MFRPIPE|MFRP|F|4|OHMM|OHMM|Downhole Fluid Resis (pipe)
0839|DEPTFDM|DFDM|F|4|M|F|Depth Form Density (meas)
0840|DEPTFDV|DFDV|F|4|M|F|Depth Form Density (vert)
0841|MFD|MFD|F|4|G/CC|G/CC|Formation Density
0842|DEPTCALM|DCLM|F|4|M|F|Depth Caliper (meas)
0843|DEPTCALV|DCLV|F|4|M|F|Depth Caliper (vert)
0844|MCLP|MCLP|F|4|MM|IN|Caliper
0845|MFPP|MFPP|F|4|KGM3|PPG|Pore Pressure Grad MWD
0846|MFFP|MFFP|F|4|KGM3|PPG|Frac Pressure Grad MWD
0847|SPARE1|SPR1|F|4|||<SPARE 1>
0848|SPARE2|SPR2|F|4|||<SPARE 2>
0849|SPARE3|SPR3|F|4|||<SPARE 3>
0850|SPARE4|SPR4|F|4|||<SPARE 4>
0851|SPARE5|SPR5|F|4|||<SPARE 5>
0852|SPARE6|SPR6|F|4|||<SPARE 6>
0853|SPARE7|SPR7|F|4|||<SPARE 7>
0854|SPARE8|SPR8|F|4|||<SPARE 8>
0855|SPARE9|SPR9|F|4|||<SPARE 9>
0901|WELLID|WID|A|16|||Well Identifier
0902|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
0903|RECID|RID|S|2|||Record Identifier
0904|SEQID|SQID|L|4|||Sequence Identifier
0905|DATE|DATE|L|4|||Date
0906|TIME|TIME|L|4|||Time
0907|ACTCOD|ACTC|S|2|||Activity Code
0908|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
0909|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
0910|DEPTBITM|DBTM|F|4|M|F|Depth Bit (meas)
0911|DEPTBITV|DBTV|F|4|M|F|Depth Bit (vert)
0912|PASSNUM|PASS|S|2|||Pass Number
0913|MBHPANN|MBPA|F|4|KPA|PSI|Bottom-hole annulus press
0914|MBHPINT|MBPI|F|4|KPA|PSI|Bottom-hole internal press
0915|MWOBA|MWBA|F|4|KDN|KLB|Downhole Wt-on-Bit (avg)
0916|MWOBX|MWBX|F|4|KDN|KLB|Downhole Wt-on-Bit (max)
0917|MTORQA|MTQA|F|4|KNM|KFLB|Downhole Torque (avg)
0918|MTORQX|MTQX|F|4|KNM|KFLB|Downhole Torque (max)
0919|MMMRPM|MMRP|S|2|RPM|RPM|Downhole Motor RPM
0920|MALTVOLT|MALT|S|2|V|V|MWD Tool Alternator Voltage
0921|SPARE1|SPR1|F|4|||<SPARE 1>
0922|SPARE2|SPR2|F|4|||<SPARE 2>
0923|SPARE3|SPR3|F|4|||<SPARE 3>
0924|SPARE4|SPR4|F|4|||<SPARE 4>
0925|SPARE5|SPR5|F|4|||<SPARE 5>
0926|SPARE6|SPR6|F|4|||<SPARE 6>
0927|SPARE7|SPR7|F|4|||<SPARE 7>
0928|SPARE8|SPR8|F|4|||<SPARE 8>
0929|SPARE9|SPR9|F|4|||<SPARE 9>
1001|WELLID|WID|A|16|||Well Identifier
1002|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1003|RECID|RID|S|2|||Record Identifier
1004|SEQID|SQID|L|4|||Sequence Identifier
1005|DATE|DATE|L|4|||Date
1006|TIME|TIME|L|4|||Time
1007|ACTCOD|ACTC|S|2|||Activity Code
1008|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
1009|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
1010|DEPTSAMM|DSAM|F|4|M|F|Depth Sample (meas)
1011|DEPTSAMV|DSAV|F|4|M|F|Depth Sample (vert)
1012|FPOREPG|FPPG|F|4|KGM3|PPG|Est. Form. Pore Press Grad.
1013|FFRACPG|FFPG|F|4|KGM3|PPG|Est. Form. Frac Press Grad.
1014|FOBPG|FOPG|F|4|KGM3|PPG|Est. Form. Overburden Grad.
1015|KTOL|KTOL|F|4|KGM3|PPG|Est. Kick Tolerance
1016|PSIPX|PSIP|F|4|KPA|PSI|Max. Permitted SICP (init)
1017|CONNGASA|CGSA|F|4|%|%|Connection Gas (avg)
1018|CONNGASX|CGSX|F|4|%|%|Connection Gas (max)
1019|CONNGASL|CGSL|F|4|%|%|Connection Gas (last)
1020|TRIPGAS|TGAS|F|4|%|%|Last Trip Gas
1021|SHALEDEN|SDEN|F|4|G/CC|G/CC|Shale Density
1022|CEC|CEC|F|4|MEHG|MEHG|Cuttings CEC
1023|CAVINGS|CAV|S|2|%|%|Cavings %
1024|DXC|DXC|F|4|||Corr. Drilling Exponent
1025|SPARE1|SPR1|F|4|||<SPARE 1>
1026|SPARE2|SPR2|F|4|||<SPARE 2>
1027|SPARE3|SPR3|F|4|||<SPARE 3>
1028|SPARE4|SPR4|F|4|||<SPARE 4>
1029|SPARE5|SPR5|F|4|||<SPARE 5>
1030|SPARE6|SPR6|F|4|||<SPARE 6>
1031|SPARE7|SPR7|F|4|||<SPARE 7>
1032|SPARE8|SPR8|F|4|||<SPARE 8>
1033|SPARE9|SPR9|F|4|||<SPARE 9>
1101|WELLID|WID|A|16|||Well Identifier
1102|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1103|RECID|RID|S|2|||Record Identifier
1104|SEQID|SQID|L|4|||Sequence Identifier
1105|DATE|DATE|L|4|||Date
1106|TIME|TIME|L|4|||Time
1107|ACTCOD|ACTC|S|2|||Activity Code
1108|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
1109|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
1110|TVOLTOT|TVT|F|4|M3|BBL|Tank Volume (total)
1111|TVOLACT|TVA|F|4|M3|BBL|Tank Volume (active)
1112|TVOLCTOT|TVCT|F|4|M3|BBL|Tank Volume Change (total)
1113|TVOLCACT|TVCA|F|4|M3|BBL|Tank Volume Change (active)
1114|TVRESET|TVRT|L|4|||Tank Volume Reset Time
1115|TVOL01|TV01|F|4|M3|BBL|Tank 01 Volume
1116|TVOL02|TV02|F|4|M3|BBL|Tank 02 Volume
1117|TVOL03|TV03|F|4|M3|BBL|Tank 03 Volume
1118|TVOL04|TV04|F|4|M3|BBL|Tank 04 Volume
1119|TVOL05|TV05|F|4|M3|BBL|Tank 05 Volume
1120|TVOL06|TV06|F|4|M3|BBL|Tank 06 Volume
1121|TVOL07|TV07|F|4|M3|BBL|Tank 07 Volume
1122|TVOL08|TV08|F|4|M3|BBL|Tank 08 Volume
1123|TVOL09|TV09|F|4|M3|BBL|Tank 09 Volume
1124|TVOL10|TV10|F|4|M3|BBL|Tank 10 Volume
1125|TVOL11|TV11|F|4|M3|BBL|Tank 11 Volume
1126|TVOL12|TV12|F|4|M3|BBL|Tank 12 Volume
1127|TVOL13|TV13|F|4|M3|BBL|Tank 13 Volume
1128|TVOL14|TV14|F|4|M3|BBL|Tank 14 Volume
1129|TTVOL1|TTV1|F|4|M3|BBL|Trip Tank 1 Volume
1130|TTVOL2|TTV2|F|4|M3|BBL|Trip Tank 2 Volume
1131|SPARE1|SPR1|F|4|||<SPARE 1>
1132|SPARE2|SPR2|F|4|||<SPARE 2>
1133|SPARE3|SPR3|F|4|||<SPARE 3>
1134|SPARE4|SPR4|F|4|||<SPARE 4>
1135|SPARE5|SPR5|F|4|||<SPARE 5>
1201|WELLID|WID|A|16|||Well Identifier
1202|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1203|RECID|RID|S|2|||Record Identifier
1204|SEQID|SQID|L|4|||Sequence Identifier
1205|DATE|DATE|L|4|||Date
1206|TIME|TIME|L|4|||Time
1207|ACTCOD|ACTC|S|2|||Activity Code
1208|DEPTCHRM|DCHM|F|4|M|F|Depth Chrom Sample (meas)
1209|DEPTCHRV|DCHV|F|4|M|F|Depth Chrom Sample (vert)
1210|DATECHR|DCHR|L|4|||Date Chrom Sample
1211|TIMECHR|TCHR|L|4|||Time Chrom Sample
1212|METHANE|METH|L|4|PPM|PPM|Methane (C1)
1213|ETHANE|ETH|L|4|PPM|PPM|Ethane (C2)
1214|PROPANE|PRP|L|4|PPM|PPM|Propane (C3)
1215|IBUTANE|IBUT|L|4|PPM|PPM|Iso-Butane (IC4)
1216|NBUTANE|NBUT|L|4|PPM|PPM|Nor-Butane (NC4)
1217|IPENTANE|IPEN|L|4|PPM|PPM|Iso-Pentane (IC5)
1218|NPENTANE|NPEN|L|4|PPM|PPM|Nor-Pentane (NC5)
1219|EPENTANE|EPEN|L|4|PPM|PPM|Neo-Pentane (EC5)
1220|IHEXANE|IHEX|L|4|PPM|PPM|Iso-Hexane (IC6)
1221|NHEXANE|NHEX|L|4|PPM|PPM|Nor-Hexane (NC6)
1222|CO2|CO2|L|4|PPM|PPM|Carbon Dioxide
1223|ACET|ACET|L|4|PPM|PPM|Acetylene
1224|SPARE1|SPR1|F|4|||<SPARE 1>
1225|SPARE2|SPR2|F|4|||<SPARE 2>
1226|SPARE3|SPR3|F|4|||<SPARE 3>
1227|SPARE4|SPR4|F|4|||<SPARE 4>
1228|SPARE5|SPR5|F|4|||<SPARE 5>
1301|WELLID|WID|A|16|||Well Identifier
1302|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1303|RECID|RID|S|2|||Record Identifier
1304|SEQID|SQID|L|4|||Sequence Identifier
1305|DATE|DATE|L|4|||Date
1306|TIME|TIME|L|4|||Time
1307|ACTCOD|ACTC|S|2|||Activity Code
1308|DEPTRETM|DRTM|F|4|M|F|Depth Returns (meas)
1309|DEPTRETV|DRTV|F|4|M|F|Depth Returns (vert)
1310|METHA|MTHA|L|4|PPM|PPM|Methane (C1) (avg)
1311|METHN|MTHN|L|4|PPM|PPM|Methane (C1) (min)
1312|METHX|MTHX|L|4|PPM|PPM|Methane (C1) (max)
1313|ETHA|ETHA|L|4|PPM|PPM|Ethane (C2) (avg)
1314|ETHN|ETHN|L|4|PPM|PPM|Ethane (C2) (min)
1315|ETHX|ETHX|L|4|PPM|PPM|Ethane (C2) (max)
1316|PROPA|PRPA|L|4|PPM|PPM|Propane (C3) (avg)
1317|PROPN|PRPN|L|4|PPM|PPM|Propane (C3) (min)
1318|PROPX|PRPX|L|4|PPM|PPM|Propane (C3) (max)
1319|IBUTA|IBTA|L|4|PPM|PPM|Iso-Butane (IC4) (avg)
1320|IBUTN|IBTN|L|4|PPM|PPM|Iso-Butane (IC4) (min)
1321|IBUTX|IBTX|L|4|PPM|PPM|Iso-Butane (IC4) (max)
1322|NBUTA|NBTA|L|4|PPM|PPM|Nor-Butane (NC4) (avg)
1323|NBUTN|NBTN|L|4|PPM|PPM|Nor-Butane (NC4) (min)
1324|NBUTX|NBTX|L|4|PPM|PPM|Nor-Butane (NC4) (max)
1325|IPENTA|IPNA|L|4|PPM|PPM|Iso-Pentane (IC5) (avg)
1326|IPENTN|IPNN|L|4|PPM|PPM|Iso-Pentane (IC5) (min)
1327|IPENTX|IPNX|L|4|PPM|PPM|Iso-Pentane (IC5) (max)
1328|NPENTA|NPNA|L|4|PPM|PPM|Nor-Pentane (NC5) (avg)
1329|NPENTN|NPNN|L|4|PPM|PPM|Nor-Pentane (NC5) (min)
1330|NPENTX|NPNX|L|4|PPM|PPM|Nor-Pentane (NC5) (max)
1331|EPENTA|EPNA|L|4|PPM|PPM|Neo-Pentane (EC5) (avg)
1332|EPENTN|EPNN|L|4|PPM|PPM|Neo-Pentane (EC5) (min)
1333|EPENTX|EPNX|L|4|PPM|PPM|Neo-Pentane (EC5) (max)
1334|IHEXA|IHXA|L|4|PPM|PPM|Iso-Hexane (IC6) (avg)
1335|IHEXN|IHXN|L|4|PPM|PPM|Iso-Hexane (IC6) (min)
1336|IHEXX|IHXX|L|4|PPM|PPM|Iso-Hexane (IC6) (max)
1337|NHEXA|NHXA|L|4|PPM|PPM|Nor-Hexane (NC6) (avg)
1338|NHEXN|NHXN|L|4|PPM|PPM|Nor-Hexane (NC6) (min)
1339|NHEXX|NHXX|L|4|PPM|PPM|Nor-Hexane (NC6) (max)
1340|CO2A|CO2A|L|4|PPM|PPM|Carbon Dioxide (avg)
1341|CO2N|CO2N|L|4|PPM|PPM|Carbon Dioxide (min)
1342|CO2X|CO2X|L|4|PPM|PPM|Carbon Dioxide (max)
1343|ACET|ACET|L|4|PPM|PPM|Acetylene
1344|SPARE1|SPR1|F|4|||<SPARE 1>
1345|SPARE2|SPR2|F|4|||<SPARE 2>
1346|SPARE3|SPR3|F|4|||<SPARE 3>
1347|SPARE4|SPR4|F|4|||<SPARE 4>
1348|SPARE5|SPR5|F|4|||<SPARE 5>
1401|WELLID|WID|A|16|||Well Identifier
1402|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1403|RECID|RID|S|2|||Record Identifier
1404|SEQID|SQID|L|4|||Sequence Identifier
1405|DATE|DATE|L|4|||Date
1406|TIME|TIME|L|4|||Time
1407|ACTCOD|ACTC|S|2|||Activity Code
1408|DEPTRETM|DRTM|F|4|M|F|Depth Returns (meas)
1409|DEPTRETV|DRTV|F|4|M|F|Depth Returns (vert)
1410|MDIL|MDIL|F|4|KGM3|PPG|Mud Density In (lagd)
1411|MDOA|MDOA|F|4|KGM3|PPG|Mud Density Out (avg)
1412|MTIL|MTIL|F|4|DEGC|DEGF|Mud Temperature In (lagd)
1413|MTOA|MTOA|F|4|DEGC|DEGF|Mud Temperature Out (avg)
1414|MCIL|MCIL|F|4|MMHO|MMHO|Mud Conductivity In (lagd)
1415|MCOA|MCOA|F|4|MMHO|MMHO|Mud Conductivity Out (avg)
1416|HSHPA|HHPA|F|4|PPM|PPM|Hyd.Sulfide Haz.Pot. (avg)
1417|HSPHA|HPHA|F|4|||Hyd.Sulfide pH (avg)
1418|HSPHSA|HPSA|F|4|%|%|Hyd.Sulfide pHS (avg)
1419|GASIL|GSIL|F|4|%|%|Gas In (lagd)
1420|GASA|GASA|F|4|%|%|Gas (avg)
1421|GASX|GASX|F|4|%|%|Gas (max)
1422|CO2A|CO2A|L|4|PPM|PPM|Carbon Dioxide (avg)
1423|HSA|HSA|L|4|PPM|PPM|Hydrogen Sulfide (avg)
1424|HSX|HSX|L|4|PPM|PPM|Hydrogen Sulfide (max)
1425|SPARE1|SPR1|F|4|||<SPARE 1>
1426|SPARE2|SPR2|F|4|||<SPARE 2>
1427|SPARE3|SPR3|F|4|||<SPARE 3>
1428|SPARE4|SPR4|F|4|||<SPARE 4>
1429|SPARE5|SPR5|F|4|||<SPARE 5>
1501|WELLID|WID|A|16|||Well Identifier
1502|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1503|RECID|RID|S|2|||Record Identifier
1504|SEQID|SQID|L|4|||Sequence Identifier
1505|DATE|DATE|L|4|||Date
1506|TIME|TIME|L|4|||Time
1507|ACTCOD|ACTC|S|2|||Activity Code
1508|DEPTSAMM|DSAM|F|4|M|F|Depth Sample (meas)
1509|DEPTSAMV|DSAV|F|4|M|F|Depth Sample (vert)
1510|DESCTYPE|DESC|A|8|||Description type
1511|L1TYPE|L1TY|A|16|||Lith 1 type
1512|L1PERC|L1PC|S|2|%|%|Lith 1 %
1513|L1CLASS|L1CL|A|16|||Lith 1 classification
1514|L1COLOR|L1CO|A|16|||Lith 1 color
1515|L1TEXT|L1TX|A|16|||Lith 1 texture
1516|L1HARD|L1HD|A|16|||Lith 1 hardness
1517|L1SIZE|L1SZ|A|16|||Lith 1 grain size
1518|L1ROUND|L1RD|A|16|||Lith 1 roundness
1519|L1SORT|L1SO|A|16|||Lith 1 sorting
1520|L1MATCEM|L1MC|A|16|||Lith 1 matrix/cement
1521|L1ACC|L1AC|A|16|||Lith 1 accessories
1522|L1POR|L1PO|F|4|%|%|Lith 1 porosity
1523|L1PERM|L1PE|F|4|MD|MD|Lith 1 permeability
1524|L2TYPE|L2TY|A|16|||Lith 2 type
1525|L2PERC|L2PC|S|2|%|%|Lith 2 %
1526|L2CLASS|L2CL|A|16|||Lith 2 classification
1527|L2COLOR|L2CO|A|16|||Lith 2 color
1528|L2TEXT|L2TX|A|16|||Lith 2 texture
1529|L2HARD|L2HD|A|16|||Lith 2 hardness
1530|L2SIZE|L2SZ|A|16|||Lith 2 grain size
1531|L2ROUND|L2RD|A|16|||Lith 2 roundness
1532|L2SORT|L2SO|A|16|||Lith 2 sorting
1533|L2MATCEM|L2MC|A|16|||Lith 2 matrix/cement
1534|L2ACC|L2AC|A|16|||Lith 2 accessories
1535|L2POR|L2PO|F|4|%|%|Lith 2 porosity
1536|L2PERM|L2PE|F|4|MD|MD|Lith 2 permeability
1537|L3TYPE|L3TY|A|16|||Lith 3 type
1538|L3PERC|L3PC|S|2|%|%|Lith 3 %
1539|L3CLASS|L3CL|A|16|||Lith 3 classification
1540|L4TYPE|L4TY|A|16|||Lith 4 type
1541|L4PERC|L4PC|S|2|%|%|Lith 4 %
1542|L4CLASS|L4CL|A|16|||Lith 4 classification
1543|L5TYPE|L5TY|A|16|||Lith 5 type
1544|L5PERC|L5PC|S|2|%|%|Lith 5 %
1545|L5CLASS|L5CL|A|16|||Lith 5 classification
1546|FOSS|FOSS|A|16|||Fossils
1547|COMPSHOW|SHOW|A|16|||Composite Show
1548|BULKDEN|BDEN|F|4|G/CC|G/CC|Bulk Density
1549|GASCUTT|GCUT|F|4|%|%|Cuttings Gas
1550|CCAL|CCAL|F|4|%|%|Calcimetry Calcite %
1551|CDOL|CDOL|F|4|%|%|Calcimetry Dolomite %
1552|CEC|CEC|F|4|MEHG|MEHG|Cuttings CEC
1553|CAVINGS|CAV|S|2|%|%|Cavings %
1554|SHALEDEN|SDEN|F|4|G/CC|G/CC|Shale Density
1555|SPARE1|SPR1|F|4|||<SPARE 1>
1556|SPARE2|SPR2|F|4|||<SPARE 2>
1557|SPARE3|SPR3|F|4|||<SPARE 3>
1558|SPARE4|SPR4|F|4|||<SPARE 4>
1559|SPARE5|SPR5|F|4|||<SPARE 5>
1601|WELLID|WID|A|16|||Well Identifier
1602|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1603|RECID|RID|S|2|||Record Identifier
1604|SEQID|SQID|L|4|||Sequence Identifier
1605|DATE|DATE|L|4|||Date
1606|TIME|TIME|L|4|||Time
1607|ACTCOD|ACTC|S|2|||Activity Code
1608|SHOWNUM|SWNO|S|2|||Show Number
1609|DEPTSITM|DSTM|F|4|M|F|Show Intvl Top Depth (meas)
1610|DEPTSITV|DSTV|F|4|M|F|Show Intvl Top Depth (vert)
1611|DEPTSIBM|DSBM|F|4|M|F|Show Intvl Bott Depth(meas)
1612|DEPTSIBV|DSBV|F|4|M|F|Show Intvl Bott Depth(vert)
1613|SHLTYPE|WLTY|A|16|||Show Lith type
1614|SHLCLASS|WLCL|A|16|||Show Lith classification
1615|SHLCOLOR|WLCO|A|16|||Show Lith color
1616|SHLTEXT|WLTX|A|16|||Show Lith texture
1617|SHLHARD|WLHD|A|16|||Show Lith hardness
1618|SHLSIZE|WLSZ|A|16|||Show Lith grain size
1619|SHLROUND|WLRD|A|16|||Show Lith roundness
1620|SHLSORT|WLSO|A|16|||Show Lith sorting
1621|SHLMC|WLMC|A|16|||Show Lith matrix/cement
1622|SHLACC|WLAC|A|16|||Show Lith accessories
1623|SHLPORV|WLPV|A|16|||Show Lith porosity -visible
1624|SHLPORM|WLPM|F|4|%|%|Show Lith porosity -meas
1625|SHLPERM|WLPE|F|4|MD|MD|Show Lith permeability
1626|SHLSTAIN|WLST|A|64|||Show Lith stain description
1627|SHLFLUOR|WLFL|A|64|||Show Lith fluor description
1628|SHLCUT|WLCT|A|64|||Show Lith cut description
1629|SHLGCUT|WLGC|F|4|%|%|Show Lith cuttings gas
1630|SHSAL|WSAL|L|4|PPM|PPM|Show titrated salinity
1631|METHMUD|MTHM|L|4|PPM|PPM|Show Mud Smple Methane
1632|ETHMUD|ETHM|L|4|PPM|PPM|Show Mud Smple Ethane
1633|PROPMUD|PRPM|L|4|PPM|PPM|Show Mud Smple Propane
1634|IBUTMUD|IBTM|L|4|PPM|PPM|Show Mud Smple I-Butane
1635|NBUTMUD|NBTM|L|4|PPM|PPM|Show Mud Smple N-Butane
1636|IPENMUD|IPNM|L|4|PPM|PPM|Show Mud Smple I-Pentane
1637|NPENMUD|NPNM|L|4|PPM|PPM|Show Mud Smple N-Pentane
1638|EPENMUD|EPNM|L|4|PPM|PPM|Show Mud Smple N-Pentane
1639|IHEXMUD|IHXM|L|4|PPM|PPM|Show Mud Smple I-Hexane
1640|NHEXMUD|NHXM|L|4|PPM|PPM|Show Mud Smple N-Hexane
1641|SHOWCOMM|WCOM|A|128|||Show Comments
1642|SPARE1|SPR1|F|4|||<SPARE 1>
1643|SPARE2|SPR2|F|4|||<SPARE 2>
1644|SPARE3|SPR3|F|4|||<SPARE 3>
1645|SPARE4|SPR4|F|4|||<SPARE 4>
1646|SPARE5|SPR5|F|4|||<SPARE 5>
1701|WELLID|WID|A|16|||Well Identifier
1702|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1703|RECID|RID|S|2|||Record Identifier
1704|SEQID|SQID|L|4|||Sequence Identifier
1705|DATE|DATE|L|4|||Date
1706|TIME|TIME|L|4|||Time
1707|ACTCOD|ACTC|S|2|||Activity Code
1708|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
1709|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
1710|DEPTCSGM|DCGM|F|4|M|F|Depth Casing Shoe (meas)
1711|DEPTCSGV|DCGV|F|4|M|F|Depth Casing Shoe (vert)
1712|CEMPPA|CPPA|F|4|KPA|PSI|Cem Pump Pressure (avg)
1713|HKLA|HKLA|F|4|KDN|KLB|Hookload (avg)
1714|BLKPOS|BPOS|F|4|M|F|Block Position
1715|CEMFIC|CFIC|F|4|M3/M|BPM|Cem Flow Rate In (calc)
1716|CEMFIA|CFIA|F|4|M3/M|BPM|Cem Flow Rate In (avg)
1717|CEMFOA|CFOA|F|4|M3/M|BPM|Cem Flow Rate Out (avg)
1718|CEMFOP|CFOP|S|2|%|%|Cem Flow Out %
1719|CEMDIA|CDIA|F|4|KGM3|PPG|Cem Fluid Dens In (avg)
1720|CEMDOA|CDOA|F|4|KGM3|PPG|Cem Fluid Dens Out (avg)
1721|ECDCSG|ECDC|F|4|KGM3|PPG|ECD at Casing Shoe
1722|CEMTIA|CTIA|F|4|DEGC|DEGF|Cem Fluid Temp In (avg)
1723|CEMTOA|CTOA|F|4|DEGC|DEGF|Cem Fluid Temp Out (avg)
1724|CEMSTAGE|CSTG|S|2|||Cem Stage Number
1725|DEPTDVT|DDVT|F|4|M|F|Cem Depth to DV Tool
1726|CEMFTYPE|CTYP|A|16|||Cem Fluid Type/Batch
1727|CEMCUMRT|CCRT|F|4|M3|BBL|Cem Cumulative Returns
1728|CEMIVOL|CIVL|F|4|M3|BBL|Cem Indiv Vol Pumped
1729|CEMCVOL|CCVL|F|4|M3|BBL|Cem Cement Vol Pumped
1730|CEMTVOL|CTVL|F|4|M3|BBL|Cem Total Vol Pumped
1731|CEMBPVOL|CBVL|F|4|M3|BBL|Cem Volume to Bump Plug
1732|CEMPLUGS|CPLG|A|8|||Cem No./Status of Plug(s)
1733|CEMJTYP|CJTY|A|16|||Cem Job Type
1734|SPARE1|SPR1|F|4|||<SPARE 1>
1735|SPARE2|SPR2|F|4|||<SPARE 2>
1736|SPARE3|SPR3|F|4|||<SPARE 3>
1737|SPARE4|SPR4|F|4|||<SPARE 4>
1738|SPARE5|SPR5|F|4|||<SPARE 5>
1801|WELLID|WID|A|16|||Well Identifier
1802|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1803|RECID|RID|S|2|||Record Identifier
1804|SEQID|SQID|L|4|||Sequence Identifier
1805|DATE|DATE|L|4|||Date
1806|TIME|TIME|L|4|||Time
1807|ACTCOD|ACTC|S|2|||Activity Code
1808|DSTID|DSID|A|8|||DST identification
1809|DEPTDITM|DDTM|F|4|M|F|DST Intvl Top Depth (meas)
1810|DEPTDITV|DDTV|F|4|M|F|DST Intvl Top Depth (vert)
1811|DEPTDIBM|DDBM|F|4|M|F|DST Intvl Bott Depth (meas)
1812|DEPTDIBV|DDBV|F|4|M|F|DST Intvl Bott Depth (vert)
1813|DSTTTIME|DTTI|L|4|HR|HR|DST Tool Time
1814|DSTSTATE|DSTA|S|2|||DST State of Well
1815|DSTSPTUB|DSPT|F|4|KPA|PSI|DST Surf Pressure, Tubing
1816|DSTSPCAS|DSPC|F|4|KPA|PSI|DST Surf Pressure, Casing
1817|DSTSTTUB|DSTT|F|4|DEGC|DEGF|DST Surf Temp, Tubing
1818|DSTBHP|DBHP|F|4|KPA|PSI|DST Bottom Hole Pressure
1819|DSTBHT|DBHT|F|4|DEGC|DEGF|DST Bottom Hole Temp
1820|DSTLIQFR|DLFR|F|4|M3/D|BPD|DST Liquid Flow Rate
1821|DSTGASFR|DGFR|F|4|MCMD|MCFD|DST Gas Flow Rate
1822|DSTTOTFR|DTFR|F|4|M3/D|BPD|DST Total Flow Rate
1823|DSTCLP|DCLP|F|4|M3|BBL|DST Cum Liquid Production
1824|DSTCGP|DCGP|F|4|MCM|MCF|DST Cum Gas Production
1825|DSTCTP|DCTP|F|4|M3|BBL|DST Cum Total Production
1826|HSA|HSA|L|4|PPM|PPM|Hydrogen Sulfide (avg)
1827|SPARE1|SPR1|F|4|||<SPARE 1>
1828|SPARE2|SPR2|F|4|||<SPARE 2>
1829|SPARE3|SPR3|F|4|||<SPARE 3>
1830|SPARE4|SPR4|F|4|||<SPARE 4>
1831|SPARE5|SPR5|F|4|||<SPARE 5>
1901|WELLID|WID|A|16|||Well Identifier
1902|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
1903|RECID|RID|S|2|||Record Identifier
1904|SEQID|SQID|L|4|||Sequence Identifier
1905|DATE|DATE|L|4|||Date
1906|TIME|TIME|L|4|||Time
1907|ACTCOD|ACTC|S|2|||Activity Code
1908|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
1909|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
1910|DSNUM|DSNO|S|2|||No. Drill String Sections
1911|DS1OD|D1OD|F|4|MM|IN|DS Section 1 OD
1912|DS1ID|D1ID|F|4|MM|IN|DS Section 1 ID
1913|DS1JID|D1JI|F|4|MM|IN|DS Section 1 Tool Joint ID
1914|DS1JOD|D1JO|F|4|MM|IN|DS Section 1 Tool Joint OD
1915|DS1MASS|D1MA|F|4|KG/M|LB/F|DS Section 1 Mass/Length
1916|DS1LEN|D1LE|F|4|M|F|DS Section 1 Length
1917|DS2OD|D2OD|F|4|MM|IN|DS Section 2 OD
1918|DS2ID|D2ID|F|4|MM|IN|DS Section 2 ID
1919|DS2JID|D2JI|F|4|MM|IN|DS Section 2 Tool Joint ID
1920|DS2JOD|D2JO|F|4|MM|IN|DS Section 2 Tool Joint OD
1921|DS2MASS|D2MA|F|4|KG/M|LB/F|DS Section 2 Mass/Length
1922|DS2LEN|D2LE|F|4|M|F|DS Section 2 Length
1923|DS3OD|D3OD|F|4|MM|IN|DS Section 3 OD
1924|DS3ID|D3ID|F|4|MM|IN|DS Section 3 ID
1925|DS3JID|D3JI|F|4|MM|IN|DS Section 3 Tool Joint ID
1926|DS3JOD|D3JO|F|4|MM|IN|DS Section 3 Tool Joint OD
1927|DS3MASS|D3MA|F|4|KG/M|LB/F|DS Section 3 Mass/Length
1928|DS3LEN|D3LE|F|4|M|F|DS Section 3 Length
1929|DS4OD|D4OD|F|4|MM|IN|DS Section 4 OD
1930|DS4ID|D4ID|F|4|MM|IN|DS Section 4 ID
1931|DS4JID|D4JI|F|4|MM|IN|DS Section 4 Tool Joint ID
1932|DS4JOD|D4JO|F|4|MM|IN|DS Section 4 Tool Joint OD
1933|DS4MASS|D4MA|F|4|KG/M|LB/F|DS Section 4 Mass/Length
1934|DS4LEN|D4LE|F|4|M|F|DS Section 4 Length
1935|DS5OD|D5OD|F|4|MM|IN|DS Section 5 OD
1936|DS5ID|D5ID|F|4|MM|IN|DS Section 5 ID
1937|DS5JID|D5JI|F|4|MM|IN|DS Section 5 Tool Joint ID
1938|DS5JOD|D5JO|F|4|MM|IN|DS Section 5 Tool Joint OD
1939|DS5MASS|D5MA|F|4|KG/M|LB/F|DS Section 5 Mass/Length
1940|DS5LEN|D5LE|F|4|M|F|DS Section 5 Length
1941|DS6OD|D6OD|F|4|MM|IN|DS Section 6 OD
1942|DS6ID|D6ID|F|4|MM|IN|DS Section 6 ID
1943|DS6JID|D6JI|F|4|MM|IN|DS Section 6 Tool Joint ID
1944|DS6JOD|D6JO|F|4|MM|IN|DS Section 6 Tool Joint OD
1945|DS6MASS|D6MA|F|4|KG/M|LB/F|DS Section 6 Mass/Length
1946|KELLYID|KID|F|4|MM|IN|Kelly ID
1947|KELLYLEN|KLEN|F|4|M|F|Kelly Length
1948|DPSTDLEN|SLEN|F|4|M|F|Drill Pipe Stand Length
1949|DPSTDJNT|SJNT|S|2|||No. Joints/Stand
1950|HOLENUM|HLNO|S|2|||No. Hole Sections
1951|HL1DIAM|H1DI|F|4|MM|IN|Hole Section 1 Diam
1952|HL1LEN|H1LE|F|4|M|F|Hole Section 1 Length
1953|HL2DIAM|H2DI|F|4|MM|IN|Hole Section 2 Diam
1954|HL2LEN|H2LE|F|4|M|F|Hole Section 2 Length
1955|HL3DIAM|H3DI|F|4|MM|IN|Hole Section 3 Diam
1956|HL3LEN|H3LE|F|4|M|F|Hole Section 3 Length
1957|HL4DIAM|H4DI|F|4|MM|IN|Hole Section 4 Diam
1958|HL4LEN|H4LE|F|4|M|F|Hole Section 4 Length
1959|HL5DIAM|H5DI|F|4|MM|IN|Hole Section 5 Diam
1960|PUMP1CAP|P1CA|F|4|M3ST|B/ST|Pump 1 Capacity
1961|PUMP1EFF|P1EF|S|2|%|%|Pump 1 Efficiency
1962|PUMP2CAP|P2CA|F|4|M3ST|B/ST|Pump 2 Capacity
1963|PUMP2EFF|P2EF|S|2|%|%|Pump 2 Efficiency
1964|PUMP3CAP|P3CA|F|4|M3ST|B/ST|Pump 3 Capacity
1965|PUMP3EFF|P3EF|S|2|%|%|Pump 3 Efficiency
1966|RIGCOST|RIGC|S|2||$|Rig Operating Cost/Hour
1967|TRIPRATE|TRRT|F|4|KPH|KF/H|Trip Rate (Dist/Time)
1968|KILLID|KLID|F|4|MM|IN|Kill Line ID
1969|KILLJID|KLJD|F|4|MM|IN|Kill Line Joint ID
1970|KILLJF|KLJF|S|2|%|%|Kill Line Joint Fraction
1971|KILLLEN|KLLE|F|4|M|F|Kill Line Length
1972|CHKID|CHID|F|4|MM|IN|Choke Line ID
1973|CHKJID|CHJD|F|4|MM|IN|Choke Line Joint ID
1974|CHKJF|CHJF|S|2|%|%|Choke Line Joint Fraction
1975|CHKLEN|CHLE|F|4|M|F|Choke Line Length
1976|DEPTCSGM|DCGM|F|4|M|F|Depth Casing Shoe (meas)
1977|DEPTCSGV|DCGV|F|4|M|F|Depth Casing Shoe (vert)
1978|DEPTPITM|DPTM|F|4|M|F|Depth PIT (meas)
1979|DEPTPITV|DPTV|F|4|M|F|Depth PIT (vert)
1980|FPGPIT|FPIT|F|4|KGM3|PPG|Frac Pressure Grad at PIT
1981|DRLGCONT|CONT|A|16|||Drilling Contractor
1982|RIGNAME|RIG|A|16|||Rig Name
1983|RIGTYPE|RTYP|A|16|||Rig Type
1984|VENDOR1|VEN1|A|32|||Vendor 1 Name/Service
1985|VENDOR2|VEN2|A|32|||Vendor 2 Name/Service
1986|VENDOR3|VEN3|A|32|||Vendor 3 Name/Service
1987|VENDOR4|VEN4|A|32|||Vendor 4 Name/Service
1988|VENDOR5|VEN5|A|32|||Vendor 5 Name/Service
1989|VENDOR6|VEN6|A|32|||Vendor 6 Name/Service
1990|SPARE1|SPR1|F|4|||<SPARE 1>
1991|SPARE2|SPR2|F|4|||<SPARE 2>
1992|SPARE3|SPR3|F|4|||<SPARE 3>
1993|SPARE4|SPR4|F|4|||<SPARE 4>
1994|SPARE5|SPR5|F|4|||<SPARE 5>
2001|WELLID|WID|A|16|||Well Identifier
2002|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
2003|RECID|RID|S|2|||Record Identifier
2004|SEQID|SQID|L|4|||Sequence Identifier
2005|DATE|DATE|L|4|||Date
2006|TIME|TIME|L|4|||Time
2007|ACTCOD|ACTC|S|2|||Activity Code
2008|MREPDM|MRDM|F|4|M|F|Mud Rept Depth (meas)
2009|MREPDV|MRDV|F|4|M|F|Mud Rept Depth (vert)
2010|MREPNUM|MNUM|S|2|||Mud Rept Number
2011|MRMTYPE|MTYP|A|16|||Mud Rept Mud Type
2012|MRSLOC|MLOC|A|8|||Mud Rept Sample Location
2013|MRSDATE|MDAT|L|4|||Mud Rept Sample Date
2014|MRSTIME|MTIM|L|4|||Mud Rept Sample Time
2015|MRDENS|MDEN|F|4|KGM3|PPG|Mud Rept Mud Density
2016|MRFVIS|MFV|S|2|S/L|S/QT|Mud Rept Funnel Vis
2017|MRFVIST|MFVT|F|4|DEGC|DEGF|Mud Rept Funnel Vis Temp
2018|MRPV|MPV|F|4|CP|CP|Mud Rept Plastic Vis
2019|MRYP|MYP|F|4|PA|PHSF|Mud Rept Yield Point
2020|MRGEL10S|MGL1|F|4|PA|PHSF|Mud Rept Gel - 10 sec
2021|MRGEL10M|MGL2|F|4|PA|PHSF|Mud Rept Gel - 10 min
2022|MRGEL30M|MGL3|F|4|PA|PHSF|Mud Rept Gel - 30 min
2023|MRFILT|MFIL|F|4|C/30|C/30|Mud Rept Filtrate
2024|MRCAKE|MCAK|S|2|MM|I/32|Mud Rept Filter Cake
2025|MRHT|MHT|F|4|DEGC|DEGF|Mud Rept HTHP Temp
2026|MRHP|MHP|F|4|KPA|PSI|Mud Rept HTHP Pressure
2027|MRHFILT|MHFI|F|4|C/30|C/30|Mud Rept HTHP Filtrate
2028|MRHCAKE|MHCK|S|2|MM|I/32|Mud Rept HTHP Filter Cake
2029|MRSOLRET|MSOL|F|4|%|%|Mud Rept Solids % (retort)
2030|MRWATRET|MWAT|F|4|%|%|Mud Rept Water % (retort)
2031|MROILRET|MOIL|F|4|%|%|Mud Rept Oil % (retort)
2032|MRSAND|MSAN|F|4|%|%|Mud Rept Sand %
2033|MRLGSOL|MLGS|F|4|%|%|Mud Rept Low Grav Sol %
2034|MRSOLCAL|MSCA|F|4|%|%|Mud Rept Solids % (calc)
2035|MRBARITE|MBRT|F|4|%|%|Mud Rept Barite content
2036|MRLCM|MLCM|F|4|KGM3|PPB|Mud Rept LCM content
2037|MRMBT|MMBT|F|4|KGM3|PPB|Mud Rept MBT capacity
2038|MRPH|MPH|F|4|||Mud Rept pH
2039|MRPHT|MPHT|F|4|DEGC|DEGF|Mud Rept pH sample temp
2040|MRPM|MPM|F|4|MLML|MLML|Mud Rept Pm
2041|MRPF|MPF|F|4|MLML|MLML|Mud Rept Pf
2042|MRMF|MMF|F|4|MLML|MLML|Mud Rept Mf
2043|MRP1|MRP1|F|4|MLML|MLML|Mud Rept P1
2044|MRP2|MRP2|F|4|MLML|MLML|Mud Rept P2
2045|MRCHLOR|MCHL|F|4|MG/L|MG/L|Mud Rept Chlorides
2046|MRCALC|MCAL|F|4|MG/L|MG/L|Mud Rept Calcium
2047|MRMAG|MMAG|F|4|MG/L|MG/L|Mud Rept Magnesium
2048|MRPOT|MPOT|F|4|MG/L|MG/L|Mud Rept Potassium
2049|MRRHETEM|MRHT|F|4|DEGC|DEGF|Mud Rept Rheometer temp
2050|MRVIS3|M3|F|4|||Mud Rept Viscom 3 rpm
2051|MRVIS6|M6|F|4|||Mud Rept Viscom 6 rpm
2052|MRVIS100|M100|F|4|||Mud Rept Viscom 100 rpm
2053|MRVIS200|M200|F|4|||Mud Rept Viscom 200 rpm
2054|MRVIS300|M300|F|4|||Mud Rept Viscom 300 rpm
2055|MRVIS600|M600|F|4|||Mud Rept Viscom 600 rpm
2056|MRBRINE|MBRI|F|4|%|%|Mud Rept Brine %
2057|MRALK|MALK|F|4|MLML|MLML|Mud Rept Alkalinity
2058|MRLIME|MLIM|F|4|KGM3|PPB|Mud Rept Lime content
2059|MRELECST|MELS|F|4|V|V|Mud Rept Elect. Stability
2060|MRCACL|MCCL|F|4|%|%|Mud Rept CaCl, Wt %
2061|SPARE1|SPR1|F|4|||<SPARE 1>
2062|SPARE2|SPR2|F|4|||<SPARE 2>
2063|SPARE3|SPR3|F|4|||<SPARE 3>
2064|SPARE4|SPR4|F|4|||<SPARE 4>
2065|SPARE5|SPR5|F|4|||<SPARE 5>
2101|WELLID|WID|A|16|||Well Identifier
2102|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
2103|RECID|RID|S|2|||Record Identifier
2104|SEQID|SQID|L|4|||Sequence Identifier
2105|DATE|DATE|L|4|||Date
2106|TIME|TIME|L|4|||Time
2107|ACTCOD|ACTC|S|2|||Activity Code
2108|BTNUM|BNUM|A|8|||Bit Number
2109|BTDIAM|BDIA|F|4|MM|IN|Bit Diameter
2110|BTMANUF|BMAN|A|16|||Bit Manufacturer
2111|BTNAME|BNAM|A|16|||Bit Name
2112|BTCODE|BCOD|A|8|||Bit IADC Code
2113|BTSERNUM|BSER|A|16|||Bit Serial Number
2114|BTCOST|BCST|F|4|$|$|Bit Cost
2115|BTJET1|BJT1|F|4|MM|I/32|Bit Jet 1 Diameter
2116|BTJET2|BJT2|F|4|MM|I/32|Bit Jet 2 Diameter
2117|BTJET3|BJT3|F|4|MM|I/32|Bit Jet 3 Diameter
2118|BTJET4|BJT4|F|4|MM|I/32|Bit Jet 4 Diameter
2119|BTJETCEN|BJTC|F|4|MM|I/32|Bit Center Jet Diameter
2120|BTTFA|BTFA|F|4|MM2|SQIN|Bit Total Flow Area
2121|BTDEPIN|BDPI|F|4|M|F|Bit Starting Depth (In)
2122|BTDEPOUT|BDPO|F|4|M|F|Bit Ending Depth (Out)
2123|BTDDIST|BDDI|F|4|M|F|Bit Run Drilled Distance
2124|BTDTIME|BDTI|F|4|HR|HR|Bit Run Drilled Time
2125|BTRTIME|BRTI|F|4|HR|HR|Bit Run Reamed Time
2126|BTROPA|BRPA|F|4|M/HR|F/HR|Bit Penetration Rate (avg)
2127|BTWOBA|BWBA|F|4|KDN|KLB|Bit Weight-on-Bit (avg)
2128|BTWOBX|BWBX|F|4|KDN|KLB|Bit Weight-on-Bit (max)
2129|BTRPMA|BRMA|S|2|RPM|RPM|Bit Rotary Speed (avg)
2130|BTRPMX|BRMX|S|2|RPM|RPM|Bit Rotary Speed (max)
2131|BTMFA|BMFA|F|4|L/M|GPM|Bit Mud Flow Rate (avg)
2132|BTMDA|BMDA|F|4|KGM3|PPG|Bit Mud Density (avg)
2133|BTSPPA|BSPA|F|4|KPA|PSI|Bit Standpipe Pressure (avg)
2134|BTRUN|BRUN|A|16|||Bit Reason Run
2135|BTPULL|BPUL|A|16|||Bit Reason Pulled
2136|BTGRDIN|BGI|A|16|||Bit Grade In
2137|BTGRDOUT|BGO|A|16|||Bit Grade Out
2138|BTSHKSUB|BSHK|A|1|||Bit Shock Sub Used ?
2139|BTMUDMOT|BMM|A|1|||Bit Mud Motor Used ?
2140|BTCOMM|BCOM|A|128|||Bit Comments
2141|SPARE1|SPR1|F|4|||<SPARE 1>
2142|SPARE2|SPR2|F|4|||<SPARE 2>
2143|SPARE3|SPR3|F|4|||<SPARE 3>
2144|SPARE4|SPR4|F|4|||<SPARE 4>
2145|SPARE5|SPR5|F|4|||<SPARE 5>
2146|SPARE6|SPR6|F|4|||<SPARE 6>
2147|SPARE7|SPR7|F|4|||<SPARE 7>
2148|SPARE8|SPR8|F|4|||<SPARE 8>
2149|SPARE9|SPR9|F|4|||<SPARE 9>
2201|WELLID|WID|A|16|||Well Identifier
2202|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
2203|RECID|RID|S|2|||Record Identifier
2204|SEQID|SQID|L|4|||Sequence Identifier
2205|DATE|DATE|L|4|||Date
2206|TIME|TIME|L|4|||Time
2207|ACTCOD|ACTC|S|2|||Activity Code
2208|DEPTMEAS|DMEA|F|4|M|F|Depth Hole (meas)
2209|DEPTVERT|DVER|F|4|M|F|Depth Hole (vert)
2210|COMM|COMM|A|256|||Comments
2301|WELLID|WID|A|16|||Well Identifier
2302|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
2303|RECID|RID|S|2|||Record Identifier
2304|SEQID|SQID|L|4|||Sequence Identifier
2305|DATE|DATE|L|4|||Date
2306|TIME|TIME|L|4|||Time
2307|ACTCOD|ACTC|S|2|||Activity Code
2308|WELLNAME|WELL|A|32|||Well Name
2309|WELLNUM|WNUM|A|16|||Well Identification Number
2310|OPERATOR|OPER|A|32|||Operator
2311|WELLCLAS|WCLS|A|16|||Well Classification (Lahee)
2312|LOCATION|WLOC|A|32|||Well Location
2313|WELLUTM|WUTM|A|16|||Well Univ.Tran.Mercator
2314|WELLLAT|WLAT|A|16|||Well Surface Latitude
2315|WELLLON|WLON|A|16|||Well Surface Longitude
2316|FIELD|FLD|A|32|||Field Name
2317|ELEVDP|ELDP|F|4|M|F|Elev : Datum-MSL
2318|ELEVKB|ELKB|F|4|M|F|Elev : Kelly Bushing-MSL
2319|ELEVGL|ELGL|F|4|M|F|Elev : Ground Level-MSL
2320|WATDEPT|WDPM|F|4|M|F|Water Depth (mean)
2321|SPUDDATE|SPDT|L|4|||Spud Date
2322|CUS1|CUS1|A|32|||Custom Field 01 Identifier
2323|CUS2|CUS2|A|32|||Custom Field 02 Identifier
2324|CUS3|CUS3|A|32|||Custom Field 03 Identifier
2325|CUS4|CUS4|A|32|||Custom Field 04 Identifier
2326|CUS5|CUS5|A|32|||Custom Field 05 Identifier
2327|CUS6|CUS6|A|32|||Custom Field 06 Identifier
2328|CUS7|CUS7|A|32|||Custom Field 07 Identifier
2329|CUS8|CUS8|A|32|||Custom Field 08 Identifier
2330|CUS9|CUS9|A|32|||Custom Field 09 Identifier
2331|CUS0|CUS0|A|32|||Custom Field 10 Identifier
2332|UNIT|UNIT|A|8|||Units Type used
2333|TOFFSET|TOFF|L|4|||Time Zone Offset
2334|SPARE1|SPR1|F|4|||<SPARE 1>
2335|SPARE2|SPR2|F|4|||<SPARE 2>
2336|SPARE3|SPR3|F|4|||<SPARE 3>
2337|SPARE4|SPR4|F|4|||<SPARE 4>
2401|WELLID|WID|A|16|||Well Identifier
2402|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
2403|RECID|RID|S|2|||Record Identifier
2404|SEQID|SQID|L|4|||Sequence Identifier
2405|DATE|DATE|L|4|||Date
2406|TIME|TIME|L|4|||Time
2407|ACTCOD|ACTC|S|2|||Activity Code
2408|WATDEPT|WDPM|F|4|M|F|Water Depth (mean)
2409|TIDE|TIDE|F|4|M|F|Tide
2410|VESSHEAD|VHED|F|4|DEG|DEG|Vessel Heading
2411|RIGVCG|RVCG|F|4|M|F|Rig VCG
2412|RISTENS|RTEN|F|4|KDN|KLB|Riser Tension
2413|OFFSETA|OFSA|F|4|M|F|Rig Offset (avg)
2414|OFFSETX|OFSX|F|4|M|F|Rig Offset (max)
2415|OFFSETD|OFSD|F|4|DEG|DEG|Rig Offset Direction
2416|LMRPANA|LANA|F|4|DEG|DEG|LMRP Angle (avg)
2417|LMRPANX|LANX|F|4|DEG|DEG|LMRP Angle (max)
2418|LMRPAND|LAND|F|4|DEG|DEG|LMRP Angle, Direction
2419|MDRISER|MDRI|F|4|KGM3|PPG|Fluid Density in Riser
2420|MLTA01|TA01|F|4|KDN|KLB|Mooring Line #01 Tens(avg)
2421|MLTX01|TX01|F|4|KDN|KLB|Mooring Line #01 Tens(max)
2422|MLTA02|TA02|F|4|KDN|KLB|Mooring Line #02 Tens(avg)
2423|MLTX02|TX02|F|4|KDN|KLB|Mooring Line #02 Tens(max)
2424|MLTA03|TA03|F|4|KDN|KLB|Mooring Line #03 Tens(avg)
2425|MLTX03|TX03|F|4|KDN|KLB|Mooring Line #03 Tens(max)
2426|MLTA04|TA04|F|4|KDN|KLB|Mooring Line #04 Tens(avg)
2427|MLTX04|TX04|F|4|KDN|KLB|Mooring Line #04 Tens(max)
2428|MLTA05|TA05|F|4|KDN|KLB|Mooring Line #05 Tens(avg)
2429|MLTX05|TX05|F|4|KDN|KLB|Mooring Line #05 Tens(max)
2430|MLTA06|TA06|F|4|KDN|KLB|Mooring Line #06 Tens(avg)
2431|MLTX06|TX06|F|4|KDN|KLB|Mooring Line #06 Tens(max)
2432|MLTA07|TA07|F|4|KDN|KLB|Mooring Line #07 Tens(avg)
2433|MLTX07|TX07|F|4|KDN|KLB|Mooring Line #07 Tens(max)
2434|MLTA08|TA08|F|4|KDN|KLB|Mooring Line #08 Tens(avg)
2435|MLTX08|TX08|F|4|KDN|KLB|Mooring Line #08 Tens(max)
2436|MLTA09|TA09|F|4|KDN|KLB|Mooring Line #09 Tens(avg)
2437|MLTX09|TX09|F|4|KDN|KLB|Mooring Line #09 Tens(max)
2438|MLTA10|TA10|F|4|KDN|KLB|Mooring Line #10 Tens(avg)
2439|MLTX10|TX10|F|4|KDN|KLB|Mooring Line #10 Tens(max)
2440|MLTA11|TA11|F|4|KDN|KLB|Mooring Line #11 Tens(avg)
2441|MLTX11|TX11|F|4|KDN|KLB|Mooring Line #11 Tens(max)
2442|MLTA12|TA12|F|4|KDN|KLB|Mooring Line #12 Tens(avg)
2443|MLTX12|TX12|F|4|KDN|KLB|Mooring Line #12 Tens(max)
2444|THRF01|TF01|F|4|KDN|KLB|Thruster #01, Force
2445|THRD01|TD01|F|4|DEG|DEG|Thruster #01, Direction
2446|THRF02|TF02|F|4|KDN|KLB|Thruster #02, Force
2447|THRD02|TD02|F|4|DEG|DEG|Thruster #02, Direction
2448|THRF03|TF03|F|4|KDN|KLB|Thruster #03, Force
2449|THRD03|TD03|F|4|DEG|DEG|Thruster #03, Direction
2450|THRF04|TF04|F|4|KDN|KLB|Thruster #04, Force
2451|THRD04|TD04|F|4|DEG|DEG|Thruster #04, Direction
2452|THRF05|TF05|F|4|KDN|KLB|Thruster #05, Force
2453|THRD05|TD05|F|4|DEG|DEG|Thruster #05, Direction
2454|THRF06|TF06|F|4|KDN|KLB|Thruster #06, Force
2455|THRF06|TD06|F|4|DEG|DEG|Thruster #06, Direction
2456|THRF07|TF07|F|4|KDN|KLB|Thruster #07, Force
2457|THRD07|TD07|F|4|DEG|DEG|Thruster #07, Direction
2458|THRF08|TF08|F|4|KDN|KLB|Thruster #08, Force
2459|THRD08|TD08|F|4|DEG|DEG|Thruster #08, Direction
2460|SPARE1|SPR1|F|4|||<SPARE 1>
2461|SPARE2|SPR2|F|4|||<SPARE 2>
2462|SPARE3|SPR3|F|4|||<SPARE 3>
2463|SPARE4|SPR4|F|4|||<SPARE 4>
2464|SPARE5|SPR5|F|4|||<SPARE 5>
2501|WELLID|WID|A|16|||Well Identifier
2502|STKNUM|SKNO|S|2|||Sidetrack/Hole Sect No.
2503|RECID|RID|S|2|||Record Identifier
2504|SEQID|SQID|L|4|||Sequence Identifier
2505|DATE|DATE|L|4|||Date
2506|TIME|TIME|L|4|||Time
2507|ACTCOD|ACTC|S|2|||Activity Code
2508|WATDEPT|WDPM|F|4|M|F|Water Depth (mean)
2509|AIRTEMP|AIRT|F|4|DEGC|DEGF|Air Temperature
2510|BARPRES|BARP|F|4|KPA|IHG|Barometric Pressure
2511|WVSHGHT|WVSH|F|4|M|F|Waves, Significant Height
2512|WVMHGHT|WVMH|F|4|M|F|Waves, Maximum Height
2513|WVMPER|WVMP|S|2|SEC|SEC|Waves, Mean Period
2514|WVDIR|WVDI|F|4|DEG|DEG|Waves, Direction
2515|SWSHGHT|SWSH|F|4|M|F|Swell, Significant Height
2516|SWMHGHT|SWMH|F|4|M|F|Swell, Maximum Height
2517|SWMPER|SWMP|S|2|SEC|SEC|Swell, Mean Period
2518|SWDIR|SWDI|F|4|DEG|DEG|Swell, Direction
2519|WINDSPD|WSPD|F|4|KPH|MPH|Wind Speed ( 1 min )
2520|WINDGUST|WGST|F|4|KPH|MPH|Wind Gusts ( 5 sec )
2521|WINDDIR|WDIR|F|4|DEG|DEG|Wind Direction
2522|ANEMHGHT|ANEM|F|4|M|F|Anemometer Height
2523|CURRSPD|CSPD|S|2|KPH|MPH|Current Speed
2524|CURRDIR|CDIR|F|4|DEG|DEG|Current Direction
2525|DEPTCURR|DCUR|F|4|M|F|Depth current measured
2526|VESMDRFT|VMD|F|4|M|F|Vessel Mean Draft
2527|HEAVSIG|HVSG|F|4|M|F|Heave, Peak-to-Peak (sig)
2528|HEAVMAX|HVMX|F|4|M|F|Heave, Peak-to-Peak (max)
2529|HEAVMPER|HVMP|S|2|SEC|SEC|Heave, Mean Period
2530|ROLLSIG|RLSG|F|4|DEG|DEG|Roll, Peak-to-Peak (sig)
2531|ROLLMAX|RLMX|F|4|DEG|DEG|Roll, Peak-to-Peak (max)
2532|ROLLMPER|RLMP|S|2|SEC|SEC|Roll, Mean Period
2533|PTCHSIG|PTSG|F|4|DEG|DEG|Pitch, Peak-to-Peak (sig)
2534|PTCHMAX|PTMX|F|4|DEG|DEG|Pitch, Peak-to-Peak (max)
2535|PTCHMPER|PTMP|S|2|SEC|SEC|Pitch, Mean Period
2536|YAWSIG|YWSG|F|4|DEG|DEG|Yaw, Peak-to Peak (sig)
2537|YAWMAX|YWMX|F|4|DEG|DEG|Yaw, Peak-to-Peak (max)
2538|YAWMPER|YWMP|S|2|SEC|SEC|Yaw, Mean Period
2539|SURGSIG|SUSG|F|4|M|F|Surge, Peak-to-Peak (sig)
2540|SURGMAX|SUMX|F|4|M|F|Surge, Peak-to-Peak (max)
2541|SURGMPER|SUMP|S|2|SEC|SEC|Surge, Mean Period
2542|SWAYSIG|SYSG|F|4|M|F|Sway, Peak-to-Peak (sig)
2543|SWAYMAX|SYMX|F|4|M|F|Sway, Peak-to-Peak (max)
2544|SWAYMPER|SYMP|S|2|SEC|SEC|Sway, Mean Period
2545|TRIM|TRIM|F|4|DEG|DEG|Trim
2546|HEEL|HEEL|F|4|DEG|DEG|Heel
2547|WSSCOMM|WSCM|A|128|||Weather Comments
2548|SPARE1|SPR1|F|4|||<SPARE 1>
2549|SPARE2|SPR2|F|4|||<SPARE 2>
2550|SPARE3|SPR3|F|4|||<SPARE 3>
2551|SPARE4|SPR4|F|4|||<SPARE 4>
2552|SPARE5|SPR5|F|4|||<SPARE 5>
`;
