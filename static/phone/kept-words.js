// What was told of a job's sending and kept with it, where these pages are in another language now: the same thing said
// anew by its code, without what only the server knew. Sending once more tells it whole.

import { language, say } from "../say.js";

const WORDS = {
  retry: say("It was not sent yet. It is sent by itself later."),
  sign_in: say("Sign in again to send this. Nothing is lost."),
  not_yours: say("Somebody else is signed in than who began this job."),
  clashes: say("This job was changed at the office while it was on this phone."),
  issued_already: say("This job was issued already. What is on this phone is not in that paper."),
  other_content: say("This job was sent before with other answers."),
  damaged: say("What this phone kept of the signed job is not what was signed. Look at it and sign again."),
  photo: say("Everything is ready but a photo. Take it again, or send without it."),
  judged_otherwise: say("The office judges this job otherwise than this phone did. Look at it and sign again."),
};

export function wordsOf(problem) {
  if (!problem?.says) return "";
  const ours = !problem.language || problem.language === language;
  return ours ? problem.says : WORDS[problem.code] ?? say("The server did not take it. Send it once more to read why.");
}
