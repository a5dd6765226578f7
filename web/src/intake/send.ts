// Sends one film. XMLHttpRequest, because fetch does not report how much has left.
import { address, noAnswer, problemIn } from "../api/client";
import type { UploadResult } from "../api/types";
import type { Send } from "./uploads";

export const sendFilm: Send<File> = (bullpenId, file, sent) => {
  const request = new XMLHttpRequest();
  const answer = new Promise<UploadResult>((resolve, reject) => {
    const lost = () => reject({ status: 0, message: noAnswer });
    request.upload.onprogress = (event) => sent(event.loaded);
    request.onload = () => {
      if (request.status >= 200 && request.status < 300) resolve(JSON.parse(request.responseText) as UploadResult);
      else reject({ status: request.status, message: problemIn(request.responseText) });
    };
    request.onerror = lost;
    request.onabort = lost;
  });
  request.open("PUT", address("/api/bullpens/{id}/films", { id: bullpenId }, { name: file.name }));
  request.setRequestHeader("Content-Type", "application/octet-stream");
  request.send(file);
  return { answer, cancel: () => request.abort() };
};
