//! The chunks of a RIFF file, one after the other.

use super::fault::Fault;
use std::io::{Read, Seek, SeekFrom};

/// More chunks than this before the sound are not walked through.
const CHUNKS_MAX: usize = 1000;

/// A part of the file with a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Chunk {
    /// Its name.
    pub(super) id: [u8; 4],
    /// Its size as written, in bytes.
    pub(super) size: u32,
    /// Where its content begins.
    pub(super) start: u64,
}

/// A walk through the chunks.
#[derive(Debug)]
pub(super) struct Chunks<R> {
    source: R,
    /// Bytes of the file.
    length: u64,
    /// Where the next chunk begins.
    next: u64,
    seen: usize,
}

impl<R: Read + Seek> Chunks<R> {
    /// Begins after the twelve bytes of the file's own head.
    pub(super) fn new(source: R, length: u64) -> Self {
        Self { source, length, next: 12, seen: 0 }
    }

    /// The file's own head; what is missing is nought.
    pub(super) fn head(&mut self) -> Result<[u8; 12], Fault> {
        self.read(0, self.length)
    }

    /// The next chunk.
    ///
    /// # Errors
    /// When there is none: a walk ends at the sound, which every file must have.
    pub(super) fn following(&mut self) -> Result<Chunk, Fault> {
        self.seen += 1;
        if self.seen > CHUNKS_MAX {
            return Err(Fault::broken(format_args!(
                "has more than {CHUNKS_MAX} chunks before its sound"
            )));
        }
        let at = self.next;
        if at + 8 > self.length {
            return Err(Fault::broken("ends before its sound begins"));
        }
        let header: [u8; 8] = self.read(at, 8)?;
        let (id, size) = (bytes(&header, 0), u32_at(&header, 4));
        if !id.iter().all(|byte| (b' '..=b'~').contains(byte)) {
            return Err(Fault::broken(format_args!(
                "is broken at byte {at}: no chunk begins there"
            )));
        }
        let chunk = Chunk { id, size, start: at + 8 };
        self.next = chunk.start + u64::from(size);
        // An odd size is followed by a byte of nought, which some writers forget.
        if size % 2 == 1 && self.next < self.length && self.read::<1>(self.next, 1)? == [0] {
            self.next += 1;
        }
        Ok(chunk)
    }

    /// The beginning of a chunk; what is missing is nought.
    pub(super) fn body<const N: usize>(&mut self, chunk: Chunk) -> Result<[u8; N], Fault> {
        if chunk.start + u64::from(chunk.size) > self.length {
            return Err(Fault::broken("ends before its sound begins"));
        }
        self.read(chunk.start, u64::from(chunk.size))
    }

    fn read<const N: usize>(&mut self, at: u64, available: u64) -> Result<[u8; N], Fault> {
        let mut read = [0; N];
        let count = usize::try_from(available).unwrap_or(N).min(N);
        self.source.seek(SeekFrom::Start(at))?;
        self.source.read_exact(&mut read[..count])?;
        Ok(read)
    }
}

/// Some bytes of a longer row; what is missing is nought.
pub(super) fn bytes<const N: usize>(row: &[u8], at: usize) -> [u8; N] {
    std::array::from_fn(|i| row.get(at + i).copied().unwrap_or(0))
}

pub(super) fn u16_at(row: &[u8], at: usize) -> u16 {
    u16::from_le_bytes(bytes(row, at))
}

pub(super) fn u32_at(row: &[u8], at: usize) -> u32 {
    u32::from_le_bytes(bytes(row, at))
}

pub(super) fn u64_at(row: &[u8], at: usize) -> u64 {
    u64::from_le_bytes(bytes(row, at))
}
