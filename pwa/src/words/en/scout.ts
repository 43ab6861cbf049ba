export const scout = {
  today: 'Today',
};
