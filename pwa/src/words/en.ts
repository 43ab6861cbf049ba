import { common } from './en/common';
import { scout } from './en/scout';

export const en = { common, scout };
