use super::args::ShowArgs;
use crate::error::Error;
pub fn run(_args: &ShowArgs) -> Result<(), Error> {
    let l = crate::train::read_layout(&_args.layout)?;
    super::voice::Voice::Plain.answer(&super::json(&crate::doors::show(&l))?)
}
