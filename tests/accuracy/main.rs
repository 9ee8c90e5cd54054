//! Paint optics against measured paints: `tests/data/measured-paints`, CC0 (Geldof et al. 2018, Heritage Science 6:17).
//!
//! Every number is from the open half of the data, and every paint is fitted with a prior that was learned without its series
//! (`tests/data/held_out_priors.csv`). The few constants of the model were chosen on the same half, by cross-validation of the
//! same kind, so expect slightly larger errors elsewhere. Run with `--nocapture` to see the tables.

mod baselines;
mod figures;
mod glazes;
mod kubelka_munk;
mod measured;
mod mixtures;
mod trust;
