//! The local page, served to a browser on this computer.

use crate::devices;
use crate::tasks::Refusal;
use crate::tasks::serving::Serving;

use super::desk::Desk;
use super::gate::Gate;
use super::route;
use super::server::Listening;

/// Listens on this computer alone, hands the address to `announce`, and answers until a signal stops it.
pub fn serve(serving: Serving, announce: &mut dyn FnMut(&str)) -> Result<(), Refusal> {
    let listening = Listening::on(serving.port).map_err(|error| {
        Refusal::new("cannot-listen", format!("cannot listen on port {}: {error}", serving.port))
            .hint("leave --port out to take a free one, or stop what uses this port")
    })?;
    let key = devices::key().map_err(|error| Refusal::new("no-key", format!("the system gives no key: {error}")))?;
    let stopper = listening.stopper();
    // Without the handler a signal still ends the program; every record is whole at any moment.
    let _unhandled = ctrlc::set_handler(stopper);
    announce(&format!("http://127.0.0.1:{}/?key={key}", listening.port));
    let gate = Gate::new(listening.port, key);
    let desk = Desk::new(serving, devices::now);
    listening.run(gate, Box::new(move |asked| route::answer(asked, &desk)));
    Ok(())
}
