/** With these words the fit's note says that a glide of all frequencies was fitted and taken off; findings tell it from a departure by them. */
export const GLIDE_TAKEN_OFF = "The partials are measured with this glide taken off";
