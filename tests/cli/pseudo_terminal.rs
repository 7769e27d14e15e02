//! A terminal that a test holds the other end of.

use rustix::fs::{Mode, OFlags, open};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, Termios, tcgetattr, tcsetattr};
use std::fs::File;
use std::io::Read as _;
use std::os::fd::OwnedFd;

/// Our end and the program's, with modes changed as `tune` says.
pub(crate) fn pseudo_terminal(tune: impl FnOnce(&mut Termios)) -> (File, OwnedFd) {
    let ours = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY).unwrap();
    grantpt(&ours).unwrap();
    unlockpt(&ours).unwrap();
    let name = ptsname(&ours, Vec::new()).unwrap();
    let its = open(&name, OFlags::RDWR | OFlags::NOCTTY, Mode::empty()).unwrap();
    let mut modes = tcgetattr(&its).unwrap();
    tune(&mut modes);
    tcsetattr(&its, OptionalActions::Now, &modes).unwrap();
    (File::from(ours), its)
}

/// All that is written to a terminal until its program has gone.
pub(crate) fn read_to_end(ours: &mut File) -> Vec<u8> {
    let (mut said, mut block) = (Vec::new(), [0; 4096]);
    // It ends with an error on some systems, once nobody holds the other side.
    while let Ok(count @ 1..) = ours.read(&mut block) {
        said.extend(&block[..count]);
    }
    said
}
