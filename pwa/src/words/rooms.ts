/**
 * The words of each room of the app, for the screens that are fetched when they are asked for. Only names pass through
 * here: a screen's script holds the rooms that it shows and no other (vite.config.ts).
 */
export { amendWords } from './es/amend';
export { brokenWords } from './es/broken';
export { guideWords } from './es/guide';
export { helpWords } from './es/help';
export { setupWords } from './es/setup';
export { otherWorkWords, workWords } from './es/work';
export { walkWords } from './es/walk';
