/** The words that only the supervisor's pages show. Both languages come with those pages, so they change at once. */
import { inLanguage } from '.';
import { bed as bedEn } from './en/bed';
import { cooler as coolerEn } from './en/cooler';
import { crops as cropsEn } from './en/crops';
import { dayPage as dayEn } from './en/day';
import { group as groupEn } from './en/group';
import { growth as growthEn } from './en/growth';
import { hooks as hooksEn } from './en/hooks';
import { logger as loggerEn } from './en/logger';
import { morning as morningEn } from './en/morning';
import { nursery as nurseryEn } from './en/nursery';
import { out as outEn } from './en/out';
import { pages as pagesEn } from './en/pages';
import { log as logEn } from './en/log';
import { lot as lotEn } from './en/lot';
import { phones as phonesEn } from './en/phones';
import { plan as planEn } from './en/plan';
import { programs as programsEn } from './en/programs';
import { promise as promiseEn } from './en/promise';
import { right as rightEn } from './en/right';
import { routes as routesEn } from './en/routes';
import { sheet as sheetEn } from './en/sheet';
import { supply as supplyEn } from './en/supply';
import { tasks as tasksEn } from './en/tasks';
import { tomorrow as tomorrowEn } from './en/tomorrow';
import { week as weekEn } from './en/week';
import { bed as bedEs } from './es/bed';
import { cooler as coolerEs } from './es/cooler';
import { crops as cropsEs } from './es/crops';
import { dayPage as dayEs } from './es/day';
import { group as groupEs } from './es/group';
import { growth as growthEs } from './es/growth';
import { hooks as hooksEs } from './es/hooks';
import { logger as loggerEs } from './es/logger';
import { morning as morningEs } from './es/morning';
import { nursery as nurseryEs } from './es/nursery';
import { out as outEs } from './es/out';
import { pages as pagesEs } from './es/pages';
import { log as logEs } from './es/log';
import { lot as lotEs } from './es/lot';
import { phones as phonesEs } from './es/phones';
import { plan as planEs } from './es/plan';
import { programs as programsEs } from './es/programs';
import { promise as promiseEs } from './es/promise';
import { right as rightEs } from './es/right';
import { routes as routesEs } from './es/routes';
import { sheet as sheetEs } from './es/sheet';
import { supply as supplyEs } from './es/supply';
import { tasks as tasksEs } from './es/tasks';
import { tomorrow as tomorrowEs } from './es/tomorrow';
import { week as weekEs } from './es/week';

export const english = {
  pages: pagesEn,
  morning: morningEn,
  nursery: nurseryEn,
  out: outEn,
  bed: bedEn,
  lot: lotEn,
  phones: phonesEn,
  plan: planEn,
  programs: programsEn,
  hooks: hooksEn,
  promise: promiseEn,
  right: rightEn,
  crops: cropsEn,
  sheet: sheetEn,
  supply: supplyEn,
  tasks: tasksEn,
  tomorrow: tomorrowEn,
  week: weekEn,
  cooler: coolerEn,
  growth: growthEn,
  dayPage: dayEn,
  group: groupEn,
  logger: loggerEn,
  routes: routesEn,
  log: logEn,
};
export const spanish = {
  pages: pagesEs,
  morning: morningEs,
  nursery: nurseryEs,
  out: outEs,
  bed: bedEs,
  lot: lotEs,
  phones: phonesEs,
  plan: planEs,
  programs: programsEs,
  hooks: hooksEs,
  promise: promiseEs,
  right: rightEs,
  crops: cropsEs,
  sheet: sheetEs,
  supply: supplyEs,
  tasks: tasksEs,
  tomorrow: tomorrowEs,
  week: weekEs,
  cooler: coolerEs,
  growth: growthEs,
  dayPage: dayEs,
  group: groupEs,
  logger: loggerEs,
  routes: routesEs,
  log: logEs,
} satisfies typeof english;

export const supervisorWords = inLanguage(english, spanish);
