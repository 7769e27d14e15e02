//! `earline listen`.

use crate::args;
use crate::content;
use crate::content::auralization::{
    AbSwitchFile, AuralizationView, RenderedRecording, Rendering, VariantAudio,
};
use crate::export::listen::ListenDocument;
use crate::export::to_json;
use crate::io::exit::{Done, Failure};
use crate::io::progress::{Progress, Waiting};
use crate::io::recording::{self, Recording};
use crate::io::select::{Selection, select_with_subwoofers, state};
use crate::io::terminal;
use crate::io::wav::RATE_HZ;
use crate::io::write::Stop;
use anyhow::Context;
use earline_engine::analysis::room_summary::named_pairs;
use earline_engine::auralization::{
    SourceSignal, Stereo, ab_switch, auralize, loudness, normalize_loudness,
};
use earline_engine::scene::{Scene, SpeakerId, SpeakerKind, Variant};
use earline_engine::simulate::defaults::EARLY_RESPONSE_S;
use earline_engine::simulate::{Request, ResponseRequest};

pub(super) fn run(args: &args::Listen, waiting: Waiting) -> Result<Done, Failure> {
    let stop = Stop::default();
    stop.watch().context("cannot listen for Ctrl-C")?;
    let mut outputs = super::outputs(&args.destination, &args.scene, &stop)?;
    let loaded = super::load(&args.scene)?;
    let scene = &loaded.scene;
    let selection = select_with_subwoofers(scene, &args.choice)?;
    let states = states(scene, args, &selection)?;
    let dry = args.dry.as_deref().map(recording::read).transpose()?;
    let dry = match dry {
        Some(dry) => {
            let players = players(scene, args, &selection, &dry)?;
            is_loud_enough(&dry)?;
            Some((players, dry))
        }
        None => None,
    };
    let progress = Progress::start("tracing", waiting, args.destination.json);
    let states = audible(scene, args, &selection, states, &progress)?;
    let mut listened = AuralizationView {
        scene,
        states,
        listeners: selection.listeners.clone(),
        seed: args.rays.seed,
        floor_db: args.rays.floor_db,
        played: None,
        names: outputs.names_beside(args.dry.as_deref()),
    };
    if let Some((by, recording)) = dry {
        progress.stage("playing the recording");
        listened.played = Some(play(&listened, recording, by)?);
    }
    let json = to_json(&ListenDocument::new(&listened))?;
    if args.destination.json {
        drop(progress);
        terminal::answer_bytes(&json)?;
        return Ok(Done::Well);
    }
    progress.stage("writing");
    outputs.add(content::auralization::DOCUMENT, json);
    outputs.extend(listened.outputs()?);
    outputs.write(&stop)?;
    drop(progress);
    super::show(&content::auralization::document::document(&listened))?;
    if !waiting.quiet {
        super::notes(&loaded, &outputs, None);
    }
    Ok(Done::Well)
}

/// The state asked for, and the one it is heard against.
fn states<'a>(
    scene: &'a Scene,
    args: &args::Listen,
    selection: &Selection<'a>,
) -> Result<Vec<Variant<'a>>, Failure> {
    let mut states = vec![selection.state.clone()];
    if let Some(name) = &args.against {
        let other = state(scene, Some(name))?;
        if other.name == selection.state.name {
            return Err(Failure::usage(
                &format!("`{name}` would be heard against itself"),
                "give another state with --variant, or leave --against out",
            ));
        }
        states.push(other);
    }
    Ok(states)
}

/// Who plays a recording: a stereo one a complete pair, left and right; a mono one the speakers asked
/// for, or the first pair alike, or whatever there is. Subwoofers that are asked for play along.
fn players(
    scene: &Scene,
    args: &args::Listen,
    selection: &Selection<'_>,
    recording: &Recording,
) -> Result<Vec<SpeakerId>, Failure> {
    let chosen = |pair: &[SpeakerId; 2]| pair.iter().all(|id| selection.speakers.contains(id));
    let pair = named_pairs(scene).into_iter().map(|(_, pair)| pair).find(chosen);
    let stereo = recording.channels.len() == 2;
    match pair {
        Some(pair) if stereo || args.choice.speakers.is_empty() => {
            let chosen = selection.speakers.iter().copied();
            let subwoofers = chosen.filter(|&id| scene[id].kind == SpeakerKind::Subwoofer);
            Ok(pair.into_iter().chain(subwoofers).collect())
        }
        None if stereo => Err(Failure::usage(
            &format!(
                "`{}` is stereo, and no left and right speaker of a pair are chosen",
                recording.name
            ),
            "give a mono recording, choose both speakers of a pair, or give two speakers a `pair` and a `side` in the scene",
        )),
        _ => Ok(selection.speakers.clone()),
    }
}

/// Told before anything is traced: what has no loudness cannot be brought to that of something else.
fn is_loud_enough(recording: &Recording) -> Result<(), Failure> {
    let channel = |index: usize| recording.channels.get(index).or(recording.channels.first());
    let both = [0, 1].map(|index| channel(index).cloned().unwrap_or_default());
    loudness(&long_enough(both)).map(drop).ok_or_else(|| too_soft(recording))
}

fn too_soft(recording: &Recording) -> Failure {
    Failure::usage(
        &format!("`{}` is too soft to have a loudness", recording.name),
        "give sound that is well above the noise",
    )
}

/// Silence after what is shorter than half a second, since loudness is that of 0.4 s at a time.
fn long_enough(sound: Stereo) -> Stereo {
    let least = RATE_HZ as usize / 2;
    sound.map(|mut channel| {
        channel.resize(channel.len().max(least), 0.0);
        channel
    })
}

/// Traces every state.
fn audible<'a>(
    scene: &'a Scene,
    args: &args::Listen,
    selection: &Selection<'_>,
    states: Vec<Variant<'a>>,
    progress: &Progress,
) -> Result<Vec<VariantAudio<'a>>, Failure> {
    let response =
        ResponseRequest { rays: args.rays.request(), ..ResponseRequest::early(EARLY_RESPONSE_S) };
    let list = Request::list(selection.speakers.clone(), selection.listeners.clone());
    let request = Request { response: Some(response), ..list };
    let one = |state: Variant<'a>| {
        let sounds =
            auralize(scene, &state, &request, progress).context("cannot trace this plan")?;
        Ok(VariantAudio { state, sounds })
    };
    states.into_iter().map(one).collect()
}

/// Plays the recording at every listener in every state, brings all to one loudness, and lets two
/// states take turns.
fn play(
    listened: &AuralizationView<'_>,
    recording: Recording,
    by: Vec<SpeakerId>,
) -> Result<RenderedRecording, Failure> {
    let mono = recording.mono();
    let channel = |voice: usize| recording.channels.get(voice).or(recording.channels.first());
    let dry = |(voice, &speaker): (usize, &SpeakerId)| {
        // A subwoofer plays what is low in both channels.
        let is_subwoofer = listened.scene[speaker].kind == SpeakerKind::Subwoofer;
        Some(SourceSignal { speaker, dry: if is_subwoofer { &mono } else { channel(voice)? } })
    };
    let voices: Vec<SourceSignal<'_>> = by.iter().enumerate().filter_map(dry).collect();
    let seats = || listened.listeners.iter();
    let mut sounds: Vec<Stereo> = seats()
        .flat_map(|&listener| listened.states.iter().map(move |audible| (listener, audible)))
        .map(|(listener, audible)| long_enough(audible.sounds.render(listener, &voices)))
        .collect();
    let levelled = normalize_loudness(&mut sounds).ok_or_else(|| too_soft(&recording))?;
    let count = listened.states.len();
    let in_turns = seats()
        .zip(sounds.chunks(count))
        .filter_map(|(&listener, of_seat)| {
            let [first, second] = of_seat else { return None };
            let (sound, turns) = ab_switch(first, second, recording.played_s());
            Some(AbSwitchFile { listener, sound, turns })
        })
        .collect();
    let places = seats().flat_map(|&listener| (0..count).map(move |state| (listener, state)));
    let programmes = places
        .zip(sounds)
        .zip(levelled)
        .map(|(((listener, state), sound), levelled)| Rendering {
            listener,
            state,
            sound,
            levelled,
        })
        .collect();
    Ok(RenderedRecording { recording, by, programmes, in_turns })
}
