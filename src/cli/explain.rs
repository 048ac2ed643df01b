//! `brimwright explain CODE`.

use super::{End, io};
use crate::diag::{Finding, explain};

/// Print the page of a finding's code.
#[derive(Debug, clap::Args)]
pub(super) struct Explain {
    /// The code, such as `leftover`; leave it out for the list of all codes.
    code: Option<String>,
}

impl Explain {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let Some(code) = self.code else {
            io::print(&explain::list());
            return End::Fine;
        };
        match explain::page(&code) {
            Ok(page) => {
                io::print(&page);
                End::Fine
            }
            Err(nearest) => {
                let fault = Finding::fault("usage", format!("there is no code `{code}`"));
                desk.report(&[match nearest {
                    Some(near) => fault.help(format!("did you mean `{near}`?")),
                    None => fault.help("`brimwright explain` lists all codes"),
                }]);
                End::Failed
            }
        }
    }
}
