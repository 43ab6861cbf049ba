import type { Words } from '.';
import { common } from './es/common';
import { scout } from './es/scout';

export const es = { common, scout } satisfies Words;
