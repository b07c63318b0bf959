//! A private PulseAudio server, a player, and the program that records from it. All of it ends with the test.

use std::fs;
use std::io::Read;
use std::os::unix::fs::PermissionsExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Output, Stdio};
use std::thread::sleep;
use std::time::Duration;

use tempfile::TempDir;

/// What the tests need besides the program.
const NEEDED: &str = "the microphone tests need a sound server: apt-get install pulseaudio pulseaudio-utils";

/// A virtual sink, `room`, whose monitor is what is recorded.
pub(super) const ROOM: &str = "module-null-sink sink_name=room rate=48000 channels=1 format=float32le";

/// A sound server of its own, with its own folders.
pub(super) struct Server {
    folder: TempDir,
    server: Child,
    players: Vec<Child>,
}

impl Server {
    /// A server with these modules.
    pub(super) fn start(modules: &[&str]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for name in ["run", "home", "config", "work"] {
            let path = folder.path().join(name);
            fs::create_dir(&path).unwrap();
            fs::set_permissions(&path, fs::Permissions::from_mode(0o700)).unwrap();
        }
        let mut command = Command::new("pulseaudio");
        command.args(["-n", "--daemonize=no", "--exit-idle-time=-1", "--use-pid-file=no", "--disable-shm=yes"]);
        command.args(["-L", "module-native-protocol-unix auth-anonymous=1"]);
        for module in modules {
            command.args(["-L", module]);
        }
        at_home(&mut command, folder.path());
        let server = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect(NEEDED);
        let server = Self { folder, server, players: Vec::new() };
        server.wait_until("the server answers", |server| server.pactl(&["info"]).is_some());
        server
    }

    /// Plays samples (interleaved singles) into `room` until the test ends or they do.
    pub(super) fn play(&mut self, samples: &[f32], rate: u32, channels: u32) {
        let file = self.folder.path().join(format!("played-{}.raw", self.players.len()));
        let bytes: Vec<u8> = samples.iter().flat_map(|sample| sample.to_le_bytes()).collect();
        fs::write(&file, bytes).unwrap();
        let mut command = Command::new("pacat");
        command.args(["--playback", "--device=room", "--raw", "--format=float32le"]);
        command.args([format!("--rate={rate}"), format!("--channels={channels}")]);
        command.arg(&file);
        at_home(&mut command, self.folder.path());
        self.players.push(command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().expect(NEEDED));
        let playing = self.players.len();
        self.wait_until("the player plays", |server| {
            server.pactl(&["list", "short", "sink-inputs"]).is_some_and(|list| list.lines().count() >= playing)
        });
        // What is played must have gone through the server before anybody listens.
        sleep(Duration::from_millis(700));
    }

    /// What `pactl` answers; `None` where it fails.
    pub(super) fn pactl(&self, words: &[&str]) -> Option<String> {
        let mut command = Command::new("pactl");
        command.args(words);
        at_home(&mut command, self.folder.path());
        let output = command.output().expect(NEEDED);
        output.status.success().then(|| String::from_utf8(output.stdout).unwrap())
    }

    /// Takes the virtual sink, and its monitor with it, out of the running server.
    pub(super) fn remove_room(&self) {
        let modules = self.pactl(&["list", "short", "modules"]).unwrap();
        let room = modules.lines().find(|line| line.contains("sink_name=room")).unwrap();
        self.pactl(&["unload-module", room.split_whitespace().next().unwrap()]).unwrap();
    }

    /// Ends the server at once.
    pub(super) fn kill(&mut self) {
        self.server.kill().unwrap();
        self.server.wait().unwrap();
    }

    /// The program, in the server's world and an empty folder.
    pub(super) fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stillroom"));
        command.args(words).current_dir(self.work()).env("NO_COLOR", "1");
        at_home(&mut command, self.folder.path());
        command
    }

    /// Runs the program to its end.
    pub(super) fn run(&self, words: &[&str]) -> Output {
        self.command(words).stdin(Stdio::null()).output().unwrap()
    }

    /// Starts the program and lets it run.
    pub(super) fn begin(&self, words: &[&str]) -> Child {
        self.command(words).stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
    }

    /// The folder the program runs in.
    pub(super) fn work(&self) -> PathBuf {
        self.folder.path().join("work")
    }

    /// The folder of the user's settings.
    pub(super) fn config(&self) -> PathBuf {
        self.folder.path().join("config")
    }

    fn wait_until(&self, what: &str, ready: impl Fn(&Self) -> bool) {
        for _ in 0..600 {
            if ready(self) {
                return;
            }
            sleep(Duration::from_millis(50));
        }
        panic!("within 30 s it did not come true that {what}");
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        for child in self.players.iter_mut().chain([&mut self.server]) {
            // One that has ended by itself cannot be ended again.
            let _ended = child.kill();
            let _ended = child.wait();
        }
    }
}

/// Only the private folders, whatever the machine's own user has.
fn at_home(command: &mut Command, folder: &Path) {
    command
        .env("XDG_RUNTIME_DIR", folder.join("run"))
        .env("HOME", folder.join("home"))
        .env("XDG_CONFIG_HOME", folder.join("config"))
        .env_remove("PULSE_SERVER")
        .env_remove("PULSE_RUNTIME_PATH")
        .env_remove("PULSE_COOKIE")
        .env_remove("DBUS_SESSION_BUS_ADDRESS");
}

/// The output of a program that was begun.
pub(super) fn end(mut child: Child) -> Output {
    let mut output = Output { status: child.wait().unwrap(), stdout: Vec::new(), stderr: Vec::new() };
    child.stdout.take().unwrap().read_to_end(&mut output.stdout).unwrap();
    child.stderr.take().unwrap().read_to_end(&mut output.stderr).unwrap();
    output
}

/// A 1 kHz tone of peak 0.1, whose RMS lies 23.010 dB below 1.
pub(super) fn tone(rate: u32, seconds: u32) -> Vec<f32> {
    (0..rate * seconds)
        .map(|at| (0.1 * (std::f64::consts::TAU * 1000.0 * f64::from(at) / f64::from(rate)).sin()) as f32)
        .collect()
}

/// The level of that tone, dB: `20·lg(0.1/√2)`.
pub(super) const TONE_DB: f64 = -23.010_299_956_639_81;
