# The page and the program are built in the first stage; the second holds only
# what runs: one binary, ffmpeg, an account without rights, a volume for data.
FROM golang:1.26-bookworm AS build
RUN apt-get update && apt-get install -y --no-install-recommends nodejs npm && rm -rf /var/lib/apt/lists/*
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN go run ./cmd/dev build && go run ./cmd/dev licences

FROM debian:bookworm-slim
RUN apt-get update && apt-get install -y --no-install-recommends ffmpeg && rm -rf /var/lib/apt/lists/* \
 && useradd --create-home --uid 10001 tenoff \
 && install -d -o tenoff -g tenoff /data
COPY --from=build /src/.build/tenoff /usr/local/bin/tenoff
COPY --from=build /src/.build/joints /usr/local/bin/joints
COPY --from=build /src/.build/LICENCES.txt /usr/share/doc/tenoff/LICENCES.txt
USER tenoff
VOLUME /data
EXPOSE 7300
HEALTHCHECK --interval=30s --timeout=5s CMD ["tenoff", "health"]
ENTRYPOINT ["tenoff"]
CMD ["serve", "--data", "/data"]
