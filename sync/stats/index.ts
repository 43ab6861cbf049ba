export * from './values.ts';
export * from './quantile.ts';
export * from './spread.ts';
export * from './share.ts';
export * from './uniformity.ts';
export * from './slips.ts';
export * from './sprt.ts';
export * from './student.ts';
