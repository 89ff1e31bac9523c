// Words of the first screen: clips, sessions, what is asked about them.

export const clips = {
  unnamed: "Unnamed swimmer",
};
