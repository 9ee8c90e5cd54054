//! Satin and gloss: the kernel in `shaders/finish` does the work.

use velatura_document::Diagnostic;
use velatura_scheme::{Scheme, Varnish};
use velatura_shaders::finish::{Params, twin::finish};

use super::info;
use crate::parameters::Parameters;
use crate::stage::{AttachPoint, Finish, FrameBand, Stage, StageInfo};

/// The varnish that a scheme names.
#[derive(Debug)]
pub(super) struct VarnishFinish;

impl Stage for VarnishFinish {
    fn info(&self) -> StageInfo {
        let takes = "frame, relief, light; matte, satin or gloss from the scheme";
        info(AttachPoint::Finish, "varnish", takes, "frame").with_reach_px(0)
    }
}

impl Finish for VarnishFinish {
    fn applies(&self, scheme: &Scheme) -> bool {
        scheme.finish != Varnish::Matte
    }

    fn finish(
        &self,
        scheme: &Scheme,
        band: &mut FrameBand<'_>,
        _: &Parameters,
    ) -> Result<(), Diagnostic> {
        finish(&params(scheme.finish), &band.planes, band.pixels);
        Ok(())
    }

    fn kernel(&self, scheme: &Scheme, _: &Parameters) -> Option<Params> {
        Some(params(scheme.finish))
    }
}

fn params(varnish: Varnish) -> Params {
    match varnish {
        Varnish::Matte => Params::MATTE,
        Varnish::Satin => Params::SATIN,
        Varnish::Gloss => Params::GLOSS,
    }
}
