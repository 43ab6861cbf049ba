/** The screens that reckon a bed, as one script. */
export { Bed } from './Bed';
export { End } from './End';
export { Walk } from './Walk';
