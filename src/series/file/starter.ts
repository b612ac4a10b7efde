/** A commented series file to begin with; it reads as it stands. */
export const STARTER_SERIES = `# A set of bells, or one bell through its tuning passes. Lines that begin with # are remarks.
set: my row                 # what you call the set
# a4Hz: 440                 # the A above middle C, hertz
# temperament: equal        # equal, just, pythagorean, quarter-comma meantone, or twelve cents: [0, 100, ...]
# tonic: C                  # the note that just, pythagorean, meantone and own cents begin from
# profile: minor-third      # ideal ratios: minor-third, major-third, handbell, tubular, free-bar, thin-ring, or a JSON file
# anchor: a4                # set: tune the set to itself, by the best common shift

bells:
  - name: first
    target: C6              # the strike note: a note, or hertz
    # alloy: Cu80Sn20       # bells of one alloy share what their cuts teach
    # massKg: 4.2           # as cast
    # diameterMm: 180
    passes:                 # in the order they were made
      - recordings: [first-0.wav]
        # date: 2026-05-01
        # metalC: 19.5      # of the bell
        # airC: 20
      # After each cut, a pass with what was taken off since the pass before:
      # - recordings: [first-1.wav, first-1b.wav]
      #   removedG: 12      # grams; or removedMm: 0.4, the wall in millimetres
      #   at: inner lip     # inner lip, soundbow, waist, shoulder, crown ...
`;
