// SPDX-License-Identifier: Apache-2.0
// The lesson as one page of HTML. Its script turns pages and remembers nothing; without it everything is shown at once.
#include <fmt/core.h>

#include "record/lesson/lesson.h"
#include "record/picture/base64.h"
#include "record/report/html_text.h"

namespace fairlead {
namespace {

constexpr std::string_view kStyle =
    "body{font:20px/1.45 system-ui,sans-serif;background:#0f1615;color:#eef2ee;margin:0}main{max-width:70rem;margin:0 auto;padding:1.5rem 1.5rem 6rem}"
    "h1{font-size:2rem;margin:.2rem 0}h2{font-size:1.6rem;margin:.2rem 0 .8rem}h3{font-size:1rem;color:#9db0aa;margin:1.2rem 0 .3rem}"
    ".when{color:#d9b36c;margin:0}.invented{border:2px dashed #d9b36c;color:#d9b36c;display:inline-block;padding:0 .5rem}"
    "dl{display:grid;grid-template-columns:minmax(10rem,22rem) 1fr;gap:.1rem 1rem;margin:0;font-size:1rem}dt{color:#9db0aa}dd{margin:0}"
    "button{font:inherit;color:inherit;background:#202b28;border:1px solid #6b7f79;border-radius:6px;min-height:48px;padding:.3rem 1rem;text-align:left;cursor:pointer}"
    ".choices{display:grid;gap:.5rem;margin:.8rem 0}.choices button[aria-pressed=true]{border-color:#58b6a6;box-shadow:inset 4px 0 #58b6a6}.choices button.done::after{content:' \\2190 done then';color:#d9b36c}"
    ".then{border-left:4px solid #58b6a6;padding:.1rem 1rem;margin:1rem 0}pre{white-space:pre-wrap;font:inherit;font-size:.9rem;background:#18211f;padding:.6rem;margin:.3rem 0;max-height:22rem;overflow:auto}"
    ".speaker{background:#2b2410;border-left:4px solid #d9b36c;padding:.3rem 1rem;margin:1rem 0}nav{position:fixed;bottom:0;left:0;right:0;background:#18211f;border-top:1px solid #2b3835;display:flex;flex-wrap:wrap;gap:.6rem;align-items:center;padding:.5rem 1.5rem}"
    "nav p{margin:0;color:#9db0aa;font-size:.85rem}nav button[aria-pressed=true]{border-color:#58b6a6}button[aria-disabled=true]{opacity:.55}.clip{margin:1rem 0}.clip img{display:block;max-width:100%;width:min(100%,40rem);background:#000}.clip img[hidden]{display:none}.clip div{display:flex;gap:.6rem;align-items:center;margin-top:.4rem}.clip input{flex:1;max-width:28rem;min-height:44px}figcaption{color:#9db0aa;font-size:.9rem}button:focus-visible,pre:focus-visible{outline:3px solid #8fb8dc;outline-offset:2px}"
    "@media print{body{background:#fff;color:#000}nav{display:none}section[hidden],.then[hidden]{display:block!important}}";

// Keys: right, space and page down go on; left back; digits choose; N shows the speaker's notes; V changes the view. In a lecture
// the room may choose again and again; in self-study the first choice stands, nothing goes on before it, and it is counted.
constexpr std::string_view kScript =
    "(()=>{const all=(s,e=document)=>[...e.querySelectorAll(s)],by=(i)=>document.getElementById(i);const pages=all('main>section');let at=0,alone=false;const say=by('where');"
    "const open_=(p)=>p.querySelector('.choices')&&!p.dataset.chosen;"
    "const tell=()=>{const asked=pages.filter((p)=>p.querySelector('[data-done=\"1\"]')),chosen=asked.filter((p)=>p.dataset.chosen),same=chosen.filter((p)=>p.dataset.chosen==='1').length;"
    "const score=same+' of '+chosen.length+' as it was done then'+(chosen.length<asked.length?', '+(asked.length-chosen.length)+' to come':'');"
    "say.textContent=(at+1)+' of '+pages.length+(alone?'. '+score:'');all('.score').forEach((e)=>{e.hidden=!alone;e.firstElementChild.textContent=score});"
    "by('on').setAttribute('aria-disabled',String(alone&&!!open_(pages[at])));by('notes').hidden=alone;by('teach').setAttribute('aria-pressed',String(!alone));by('study').setAttribute('aria-pressed',String(alone))};"
    "const show=(n)=>{if(n>at&&alone&&open_(pages[at])){say.textContent='Choose first: keys 1 to 9';return}at=Math.max(0,Math.min(pages.length-1,n));pages.forEach((p,i)=>{p.hidden=i!==at});pages[at].querySelector('h1,h2').focus();scrollTo(0,0);tell()};"
    "const pick=(button)=>{const page=button.closest('section');if(alone&&page.dataset.chosen)return;page.dataset.chosen=button.dataset.done==='1'?'1':'0';all('.choices button',page).forEach((b)=>{b.setAttribute('aria-pressed',String(b===button));if(b.dataset.done==='1')b.classList.add('done')});page.querySelector('.then').hidden=false;tell()};"
    "const view=(study)=>{alone=study;pages.forEach((p)=>{delete p.dataset.chosen});all('.choices button').forEach((b)=>{b.setAttribute('aria-pressed','false');b.classList.remove('done')});all('.then,.speaker').forEach((e)=>{e.hidden=true});show(0)};"
    "all('.choices button').forEach((b)=>b.addEventListener('click',()=>pick(b)));const notes=()=>{if(!alone)all('.speaker').forEach((e)=>{e.hidden=!e.hidden})};"
    "by('on').addEventListener('click',()=>show(at+1));by('back').addEventListener('click',()=>show(at-1));by('notes').addEventListener('click',notes);by('teach').addEventListener('click',()=>view(false));by('study').addEventListener('click',()=>view(true));"
    "const play=(c)=>{const box=c.closest('figure'),frames=all('img',box),ms=Number(box.dataset.ms);const go=box.dataset.going!=='1';box.dataset.going=go?'1':'0';c.textContent=go?'Pause':'Play';if(!go)return;"
    "const step=()=>{if(box.dataset.going!=='1')return;const n=(Number(box.dataset.at||0)+1)%frames.length;put(box,n);setTimeout(step,ms)};setTimeout(step,ms)};"
    "const put=(box,n)=>{const frames=all('img',box);box.dataset.at=n;frames.forEach((f,i)=>{f.hidden=i!==n});const r=box.querySelector('input');r.value=n;r.setAttribute('aria-valuetext','frame '+(n+1)+' of '+frames.length)};"
    "all('figure.clip').forEach((box)=>{const r=box.querySelector('input'),b=box.querySelector('button');if(!b)return;put(box,0);b.addEventListener('click',()=>play(b));r.addEventListener('input',()=>put(box,Number(r.value)))});"
    "addEventListener('keydown',(e)=>{if(e.ctrlKey||e.altKey||e.metaKey)return;const k=e.key,t=e.target.tagName;if((k===' '&&t==='BUTTON')||(t==='INPUT'&&k.startsWith('Arrow')))return;"
    "if(k==='ArrowRight'||k==='PageDown'||k===' '){e.preventDefault();show(at+1)}else if(k==='ArrowLeft'||k==='PageUp'){e.preventDefault();show(at-1)}"
    "else if(k==='n'||k==='N')notes();else if(k==='v'||k==='V')view(!alone);else if(k==='p'||k==='P'){const b=pages[at].querySelector('figure.clip button');if(b)play(b)}else if(k==='Home')show(0);else if(k==='End')show(alone&&open_(pages[at])?at+1:alone?Math.max(at,pages.findIndex(open_)<0?pages.length-1:pages.findIndex(open_)):pages.length-1);"
    "else if(k>='1'&&k<='9'){const b=all('.choices button',pages[at])[Number(k)-1];if(b)pick(b)}});view(false)})();";

void AddLines(std::string& html, const char* heading, const std::vector<LessonLine>& lines) {
  if (lines.empty()) return;
  html += std::string("<h3>") + heading + "</h3><dl>";
  for (const LessonLine& line : lines) html += "<dt>" + HtmlText(line.label) + "</dt><dd>" + HtmlText(line.value) + "</dd>";
  html += "</dl>";
}

void AddTexts(std::string& html, const char* heading, const std::vector<std::string>& texts) {
  if (texts.empty()) return;
  html += std::string("<h3>") + heading + "</h3>";
  for (const std::string& text : texts) html += "<p>" + HtmlText(text) + "</p>";
}

void AddClips(std::string& html, const std::vector<LessonClip>& clips) {
  for (const LessonClip& clip : clips) {
    const std::string name = HtmlText(clip.caption.empty() ? clip.what : clip.caption + " (" + clip.what + ")");
    html += fmt::format("<figure class=\"clip\" data-ms=\"{:.0f}\">", clip.frame_ms);
    for (std::size_t i = 0; i < clip.frames.size(); ++i) html += fmt::format("<img alt=\"{}, {}\"{} src=\"data:image/jpeg;base64,{}\">", name, i + 1, i == 0 ? "" : " hidden", Base64(clip.frames[i]));
    if (clip.frames.size() > 1) html += fmt::format("<div><button type=\"button\">Play</button><input type=\"range\" min=\"0\" max=\"{}\" value=\"0\" aria-label=\"Frame of {}\"></div>", clip.frames.size() - 1, name);
    html += "<figcaption>" + name + "</figcaption></figure>";
  }
}

void AddSpeaker(std::string& html, const std::vector<std::string>& texts) {
  if (texts.empty()) return;
  html += "<aside class=\"speaker\" aria-label=\"Speaker's notes\">";
  for (const std::string& text : texts) html += "<p>" + HtmlText(text) + "</p>";
  html += "</aside>";
}

void AddPoint(std::string& html, const LessonPoint& point) {
  html += "<section><p class=\"when\">" + HtmlText(point.when) + "</p><h2 tabindex=\"-1\">" + HtmlText(point.question) + "</h2>";
  AddLines(html, "The moment", point.situation);
  AddLines(html, "Known then", point.facts);
  AddClips(html, point.clips);
  html += "<div class=\"choices\">";
  for (std::size_t i = 0; i < point.choices.size(); ++i)
    html += fmt::format("<button type=\"button\" aria-pressed=\"false\" data-done=\"{}\">{} · {}</button>", static_cast<int>(i) == point.done ? 1 : 0, i + 1, HtmlText(point.choices[i]));
  if (point.choices.empty()) html += "<button type=\"button\" aria-pressed=\"false\" data-done=\"0\">1 · See what was done</button>";
  html += "</div><div class=\"then\" role=\"status\"><h3>What was done</h3><p>" + HtmlText(point.what_was_done) + "</p>";
  if (!point.screens.empty()) html += "<h3>What the screens said then</h3><pre tabindex=\"0\" role=\"group\" aria-label=\"What the screens said then\">" + HtmlText(point.screens) + "</pre>";
  AddClips(html, point.clips_then);
  AddTexts(html, "Lessons, in the operator's words", point.lessons);
  html += "</div>";
  AddSpeaker(html, point.speaker);
  html += "</section>";
}

}  // namespace

std::string LessonHtml(const Lesson& lesson) {
  std::string html = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\">"
                     "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'\"><title>" +
                     HtmlText(lesson.title) + "</title><style>" + std::string(kStyle) + "</style></head><body><main>";
  html += "<section><h1 tabindex=\"-1\">" + HtmlText(lesson.title) + "</h1>";
  if (lesson.invented) html += "<p class=\"invented\">INVENTED: nobody lived this case</p>";
  html += fmt::format("<p>{} decisions. At each: what was known then, and nothing later. Choose before you see what was done.</p>", lesson.points.size());
  if (!lesson.points.empty()) AddLines(html, "Known at the first decision", lesson.points.front().facts);
  AddClips(html, lesson.clips);
  html += "</section>";
  for (const LessonPoint& point : lesson.points) AddPoint(html, point);
  html += "<section><h2 tabindex=\"-1\">What came of it</h2>";
  html += "<p class=\"score\" hidden><strong></strong>: how often your first choice was what was done. It says nothing of which was better.</p>";
  AddLines(html, "The visit", lesson.outcome);
  AddClips(html, lesson.clips_end);
  AddTexts(html, "Lessons, in the operator's words", lesson.lessons);
  AddSpeaker(html, lesson.speaker);
  html += "<p>Decision support for trained operators. Not a medical device. Local protocol and the responsible physician decide.</p></section></main>";
  html += "<nav aria-label=\"Pages\"><button type=\"button\" id=\"back\">Back</button><button type=\"button\" id=\"on\">On</button><button type=\"button\" id=\"notes\">Speaker's notes (N)</button>"
          "<button type=\"button\" id=\"teach\" aria-pressed=\"true\">Lecture</button><button type=\"button\" id=\"study\" aria-pressed=\"false\">Self-study</button>"
          "<p id=\"where\" role=\"status\"></p><p>Keys: ← → pages, 1 to 9 choose, N notes, P clip, V lecture or self-study</p></nav><script>" + std::string(kScript) + "</script></body></html>\n";
  return html;
}

}  // namespace fairlead
