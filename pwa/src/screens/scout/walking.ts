/** The screens that compute a bed, as one script. */
import '../../style/walk.css';
import '../../style/guide.css';
import '../../style/pots.css';

export { Bed } from './bed/Bed';
export { End } from './walk/End';
export { Walk } from './walk/Walk';
