export const RECORD_FORMAT = 'jointwise-record/1';
