/** What the keys of a button do on a point of a picture that is one: Enter and Space. */
export const pressed = (act: () => void) => (event: KeyboardEvent): void => {
  if (event.key !== "Enter" && event.key !== " ") return;
  event.preventDefault();
  act();
};
