// Package mqtt reads a probe that publishes to an MQTT broker, and publishes a
// batch to one, by MQTT 3.1.1 or 5.0 (OASIS standards, ISO/IEC 20922).
//
// [New] makes a source that subscribes to one topic; a payload is read as a
// line is, by a [probe.Format]. [NewPublisher] hands what the batch says on to
// a broker, for a second screen or a shop's hub.
//
// # Stale heat
//
// A broker keeps the last message of a topic and hands it to whoever
// subscribes, however old it is. Such a retained message is never taken for a
// reading.
//
// # What is not done here
//
// Messages go out and come in at most once (QoS 0): a reading that is sent
// again late is worth less than the next one. There is no broker here.
package mqtt
