/** What every page, report and README says, so that nobody takes the bench for more than it is. */
export const CAUTIONS = [
  'Simulation and training only: not a safety device, not certified or listed, no proof of compliance. The equipment’s own instructions, its listing, local codes and licensed practice govern.',
  'Never connect simulated sensors to equipment that holds flammable refrigerant or serves an occupied space; never bypass, jumper or mask a real detector with them.',
  'Isolate and lock out moving and electrical parts first: fans, compressors and heaters may start without warning.',
  'If real gas is suspected: no flames, no switching; leave and ventilate.',
  'A well-mixed model understates peaks near the floor and close to the leak.',
] as const;
